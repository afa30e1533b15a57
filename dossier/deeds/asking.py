"""What is asked for in a job, and one answer written where it belongs.

In: a job, and what somebody typed. Out: the questions of its punch list; the lines an answer changed and the
questions as they are then. A front end shows the questions, and answers each by the digest of what it showed.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from dossier.deeds.by_hand import change, shown, undo_change
from dossier.errors import CannotWrite, UnreadableInput, WrongCommand
from dossier.hand.file import Draft
from dossier.pipeline import check
from dossier.questions.answer import Answer, NoAnswer, changes_of
from dossier.questions.ask import needed_first
from dossier.questions.ask import questions as of_items
from dossier.questions.question import Question
from dossier.record.trees import JOB_FILE
from dossier.steps.asked import Asked, job_folder_of
from dossier.steps.checking import Checked, Unreadable
from dossier.terms.read import levels_offered, localities_offered
from dossier.values import Clock


@dataclass(frozen=True)
class Asking:
    """A job as it was checked, and what is asked for in it. digests: of each file that an answer may go to.

    Of a job that cannot be read for want of a field, such as a new one, just these are asked for.
    """

    checked: Checked | Unreadable
    questions: tuple[Question, ...]
    digests: Mapping[str, str]


@dataclass(frozen=True)
class Answered:
    """What one answer came to. draft: the file before and after. asking: the job as it is then.

    gone: questions that were there before and are no longer, but for the one that was answered; new: those that
    were not there before. open: the question that was answered, where the answer did not settle it.
    """

    draft: Draft
    asking: Asking
    gone: tuple[Question, ...]
    new: tuple[Question, ...]
    open: Question | None


def questions(asked: Asked, clock: Clock, before: Collection[str] = ()) -> Asking:
    """Return what is asked for in a job, soonest loss first.

    before: files that an earlier question was about, so that it can be answered once more. Raises CannotWrite for
    a job that is sealed, UnreadableInput for one whose record cannot be read.
    """
    folder = job_folder_of(asked.job_folder)
    # Looked at before it is read, so that a change in between is caught by the digest.
    digest = shown(folder, JOB_FILE).digest
    checked = check(asked, clock)
    if checked.since is not None:
        raise CannotWrite(
            "This job is sealed: its record is no longer changed.",
            "What turned out to be wrong or missing is added beside the seal, as a correction: "
            "dossier add correction.",
        )
    office = checked.run.office_folder
    if not checked.readable:
        needed = needed_first(checked.punch_list, {"job.job.locality": localities_offered(office)})
        if not needed:
            first = checked.punch_list.items[0]
            raise UnreadableInput(first.says, first.remedy)
        return Asking(checked, needed, {JOB_FILE: digest})
    # To read every sheet takes a while, and only a job without a warranty is offered one.
    levels = () if checked.case.job.warranties else levels_offered(office)
    crews = tuple(crew.name for crew in checked.case.company.crews)
    offers = {"job.warranties.*": levels, "job.job.crew": crews}
    found = of_items(checked.punch_list, checked.case, offers)
    sheets = {*before, *(one.file for one in found)} - {JOB_FILE}
    digests = {file: shown(office, file).digest for file in sorted(sheets)}
    return Asking(checked, found, {JOB_FILE: digest, **digests})


def named(asking: Asking, field: str) -> Question:
    """Return the question that asks for a field; that of all slopes where the path has a * in it.

    Raises WrongCommand where nothing asks for it.
    """
    for one in asking.questions:
        if field == one.path:
            return one
        if found := one.of([field]):
            return found
    raise WrongCommand(
        f"Nothing asks for “{field}” in this job.",
        "Name a field that is asked for. What is on record already is changed in the record itself.",
    )


def answer(
    asked: Asked, clock: Clock, asking: Asking, question: Question, text: Answer
) -> Answered:
    """Write an answer where it belongs and return what is asked for then.

    Raises UnreadableInput or WrongCommand, with nothing written, where the answer cannot be read; CannotWrite
    where the file is no longer the one that was shown.
    """
    own = question.file == JOB_FILE
    folder: Path = job_folder_of(asked.job_folder) if own else asking.checked.run.office_folder
    try:
        changes = changes_of(question, text)
    except NoAnswer as problem:
        raise WrongCommand(str(problem), f"Such as: {question.example}") from None
    digest = asking.digests[question.file]
    made = change(folder, question.file, digest, changes, asked.holder)
    try:
        after = questions(asked, clock, asking.digests)
    except UnreadableInput:
        # A name that leads to no sheet or level reads as a text, and only then leads nowhere.
        undo_change(folder, asked.holder)
        raise
    was, now = _places(asking.questions), _places(after.questions)
    answered = _places([question])
    gone = (one for one in asking.questions if not _places([one]) & (now | answered))
    new = (one for one in after.questions if not _places([one]) & was)
    still = (one.of(question.fields) for one in after.questions if one.file == question.file)
    left = next((one for one in still if one is not None), None)
    return Answered(made, after, tuple(gone), tuple(new), left)


def _places(asked: Iterable[Question]) -> set[tuple[str, str]]:
    return {(one.file, field) for one in asked for field in one.fields}
