"""A typed answer into changes of the record.

In: a question and what somebody typed. Out: `Change`s for whoever writes. Must not judge the answer: whether it
can be read is for the reader of the record to say.
"""

from collections.abc import Mapping, Sequence

from dossier.hand.means import Change
from dossier.questions.question import Question
from dossier.reading.model import is_not_applicable
from dossier.reading.typed import Value


class NoAnswer(ValueError):
    """A text that answers nothing; the message is the sentence."""


Answer = str | Mapping[str, str]
"""What is typed: a text, of a list an entry a line; or the fields of a group, by their names."""


def changes_of(question: Question, answer: Answer) -> tuple[Change, ...]:
    """Return what an answer changes, at every place it stands for. Raises NoAnswer."""
    if not isinstance(answer, str):
        fields = {name: text.strip() for name, text in answer.items() if text.strip()}
        if not fields:
            raise NoAnswer("Nothing was typed.")
        return tuple(_put(question, _parts(field), fields) for field in question.fields)
    lines = [line.strip() for line in answer.splitlines() if line.strip()]
    if not lines:
        raise NoAnswer("Nothing was typed.")
    if is_not_applicable(lines[0]):
        if not question.may_not_apply:
            raise NoAnswer("This cannot be “n/a”.")
        return tuple(Change(path, " ".join(lines)) for path in excusable(question))
    if not question.takes_more:
        value = chosen(question, " ".join(lines))
        return tuple(_put(question, _parts(field), value) for field in question.fields)
    first, *more = (chosen(question, line) for line in lines)
    [field] = question.fields
    return (_put(question, _parts(field), first, more),)


def excusable(question: Question) -> tuple[tuple[str, ...], ...]:
    """Return the places where “n/a” goes: of a list it is the whole that does not apply."""
    paths = (_parts(field) for field in question.fields)
    if question.begins_list:
        return tuple(path[:1] for path in paths)
    return tuple(path[:-1] if question.takes_more else path for path in paths)


def _parts(field: str) -> tuple[str, ...]:
    return tuple(field.split("."))


def _put(
    question: Question, path: tuple[str, ...], value: Value, more: Sequence[Value] = ()
) -> Change:
    """Return the change that writes a value; in place of a reason, with the groups in between."""
    at = _parts(question.reason_at) if question.reason_at else path
    while len(path) > len(at):
        *around, last = path
        path = tuple(around)
        value, more = ([value, *more], ()) if last.isdigit() else ({last: value}, ())
    return Change(path, value, tuple(more))


def chosen(question: Question, text: str) -> str:
    """Return an answer with numbers of choices as their words, and a beginning as the one word it begins."""
    if not question.choices:
        return _first_named(question, text)
    if question.several:
        return ", ".join(_one(question.choices, part.strip()) for part in text.split(","))
    return _one(question.choices, text)


def _first_named(question: Question, text: str) -> str:
    """Return a line whose first part is the number of a choice with that choice, such as of a person."""
    first, comma, rest = text.partition(",")
    is_one = first.isdigit() or first.lower() in map(str.lower, question.leads)
    if (
        question.leads
        and is_one
        and not rest.strip()
        and any(part.is_day for part in question.parts)
    ):
        raise NoAnswer("The day belongs to it too: the name or its number, a comma, the day.")
    is_number = question.leads and first.isdigit()
    return f"{_one(question.leads, first)}{comma}{rest}" if is_number else text


def _one(choices: Sequence[str], text: str) -> str:
    by_word = {choice.lower(): choice for choice in choices}
    if text.lower() in by_word:
        return by_word[text.lower()]
    if text.isascii() and text.isdigit() and 1 <= int(text) <= len(choices):
        return choices[int(text) - 1]
    begun = [choice for word, choice in by_word.items() if word.startswith(text.lower())]
    return begun[0] if len(begun) == 1 else text
