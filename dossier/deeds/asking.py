"""What is asked for in a job, and one answer written into its record.

In: a job, and what somebody typed. Out: the questions of its punch list; the lines an answer changed and the
questions as they are then. A front end shows the questions, and answers each with the digest of what it showed.
"""

from dataclasses import dataclass

from dossier.deeds.by_hand import change, shown, undo_change
from dossier.errors import CannotWrite, UnreadableInput, WrongCommand
from dossier.hand.file import Draft
from dossier.pipeline import check
from dossier.questions.answer import NoAnswer, changes_of
from dossier.questions.ask import questions as of_items
from dossier.questions.question import Question
from dossier.record.trees import JOB_FILE
from dossier.steps.asked import Asked, job_folder_of
from dossier.steps.checking import Checked
from dossier.values import Clock


@dataclass(frozen=True)
class Asking:
    """A job as it was checked, and what is asked for in it. digest: of the record that was read."""

    checked: Checked
    questions: tuple[Question, ...]
    digest: str


@dataclass(frozen=True)
class Answered:
    """What one answer came to. draft: the record before and after. asking: the job as it is then.

    gone: questions that were there before and are no longer, but for the one that was answered; new: those that
    were not there before. open: the question that was answered, where the answer did not settle it.
    """

    draft: Draft
    asking: Asking
    gone: tuple[Question, ...]
    new: tuple[Question, ...]
    open: Question | None


def questions(asked: Asked, clock: Clock) -> Asking:
    """Return what is asked for in a job, soonest loss first.

    Raises CannotWrite for a job that is sealed, UnreadableInput for one whose record cannot be read.
    """
    folder = job_folder_of(asked.job_folder)
    digest = shown(folder, JOB_FILE).digest
    checked = check(asked, clock)
    if checked.since is not None:
        raise CannotWrite(
            "This job is sealed: its record is no longer changed.",
            "What turned out to be wrong or missing is added beside the seal, as a correction: "
            "dossier add correction.",
        )
    if not checked.readable:
        first = checked.punch_list.items[0]
        raise UnreadableInput(first.says, first.remedy)
    return Asking(checked, of_items(checked.punch_list, checked.case), digest)


def named(asking: Asking, field: str) -> Question:
    """Return the question that asks for a field; for those of all slopes where the path has a * in it.

    Raises WrongCommand where nothing asks for it.
    """
    for one in asking.questions:
        if field in one.fields:
            return one.of([field]) or one
        if field == one.path:
            return one
    raise WrongCommand(
        f"Nothing asks for “{field}” in this job.",
        "Name a field that is asked for. What is on record already is changed in the record itself.",
    )


def answer(asked: Asked, clock: Clock, asking: Asking, question: Question, text: str) -> Answered:
    """Write an answer into the record and return what is asked for then.

    Raises UnreadableInput or WrongCommand, with nothing written, where the answer cannot be read; CannotWrite
    where the record is no longer the one that was shown.
    """
    folder = job_folder_of(asked.job_folder)
    try:
        changes = changes_of(question, text)
    except NoAnswer as problem:
        raise WrongCommand(str(problem), f"Such as {question.example}.") from None
    made = change(folder, JOB_FILE, asking.digest, changes, asked.holder)
    try:
        after = questions(asked, clock)
    except UnreadableInput:
        # A name that leads to no sheet or level reads as a text, and only then leads nowhere.
        undo_change(folder, asked.holder)
        raise
    was = {field for one in asking.questions for field in one.fields}
    now = {field for one in after.questions for field in one.fields}
    answered = set(question.fields)
    gone = [one for one in asking.questions if not now & set(one.fields) - answered]
    still = (one.of(question.fields) for one in after.questions)
    return Answered(
        made,
        after,
        tuple(one for one in gone if not answered & set(one.fields)),
        tuple(one for one in after.questions if not was & set(one.fields)),
        next((one for one in still if one is not None), None),
    )
