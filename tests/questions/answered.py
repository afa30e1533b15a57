"""A job with something left blank, and its questions answered with what stood there.

In: a `Known` and the bytes of its files. Out: the job with a place blank; the answers that the old text gives; the
job as they leave it. Must not know any one field.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from dossier.assess.assess import assess
from dossier.case.read import fill_in
from dossier.hand.means import Change
from dossier.hand.text import with_changes
from dossier.questions.answer import changes_of
from dossier.questions.ask import questions
from dossier.questions.question import Question
from dossier.reading.model import Model, model_in, read_model
from dossier.reading.nodes import Node, Text, parse_tree
from dossier.record.fields import NoSuchField, find
from dossier.record.job import Job
from dossier.record.trees import JOB_FILE, as_group, flat
from tests.known_good import Known

Said = frozenset[tuple[str, str, str]]


@dataclass(frozen=True)
class Typed:
    """A job as it is typed. data: the bytes of its job.yaml."""

    known: Known
    data: bytes

    def changed(self, changes: Iterable[Change]) -> "Typed":
        """Return the job with changes of its record, read and worked out anew."""
        data = with_changes(self.data, JOB_FILE, Job, tuple(changes))
        reads = replace(self.known.reads, job=read_model(tree_of(data), JOB_FILE, Job))
        case, items = fill_in(reads, *self.known.files)
        assert case is not None, [str(item.says) for item in items]
        worked = assess(case, self.known.facts, self.known.run)
        return Typed(replace(self.known, case=case, assessment=worked, reads=reads), data)

    def without(self, path: str) -> "Typed":
        """Return the job with a place blank."""
        return self.changed([Change(tuple(path.split(".")), None)])

    @property
    def asked(self) -> tuple[Question, ...]:
        """Return the questions of the job."""
        return questions(self.known.punch_list, self.known.case)

    @property
    def said(self) -> Said:
        """Return what the punch list says, lines aside."""
        return frozenset(
            (item.rule, item.verdict.value, str(item.says)) for item in self.known.punch_list
        )

    @property
    def job(self) -> Job:
        """Return the record."""
        assert self.known.reads.job.model is not None
        return self.known.reads.job.model


def tree_of(data: bytes) -> Node:
    """Return the tree of a record."""
    tree = parse_tree(data, JOB_FILE).tree
    assert tree is not None
    return tree


def old_answer(question: Question, data: bytes) -> str | None:
    """Return what a person would type who had the old record before them; None where it does not say."""
    tree = tree_of(data)
    if not question.takes_more:
        return _one_text(tree, question.fields[0])
    *path, number = question.fields[0].split(".")
    entries = []
    while (said := _one_text(tree, ".".join((*path, number)))) is not None:
        entries.append(said)
        number = str(int(number) + 1)
    return "\n".join(entries) or None


def _one_text(tree: Node, path: str) -> str | None:
    try:
        spot = find(tree, JOB_FILE, path)
    except NoSuchField:
        return None
    model = model_in(spot.info.annotation)
    if spot.node is None or not flat(spot.node):
        return None
    return (
        flat(spot.node) if model is None or isinstance(spot.node, Text) else _line(spot.node, model)
    )


def _line(node: Node, model: type[Model]) -> str:
    """Return as much of a group as its form on one line takes."""
    fields = as_group(node, model).entries
    single = {name: flat(one.value) for name, one in fields.items() if isinstance(one.value, Text)}
    for many in range(len(single), 0, -1):
        kept = dict(list(single.items())[:many])
        try:
            read = model.from_text(", ".join(kept.values()))
        except ValueError:
            continue
        if read == kept:
            return ", ".join(kept.values())
    raise AssertionError(f"no form on one line takes {single}")


def answer_all(
    blank: Typed, whole: Typed, before: Collection[Question]
) -> tuple[Typed, dict[str, str]]:
    """Return a job with every question answered that the whole one does not ask, and the answers by path.

    before: the questions of the whole one.
    """
    given: dict[str, str] = {}
    known = {one.fields for one in before}
    for _ in range(40):
        left = [one for one in blank.asked if one.fields not in known and one.path not in given]
        answers = ((one, old_answer(one, whole.data)) for one in left)
        one, text = next(((one, text) for one, text in answers if text), (None, ""))
        if one is None or not text:
            return blank, given
        given[one.path] = text
        blank = blank.changed(changes_of(one, text))
    raise AssertionError("the questions come to no end")
