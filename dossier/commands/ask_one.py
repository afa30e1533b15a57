"""The talk of `dossier answer`: a question, a typed answer, the lines it changed, the next question.

In: what is asked for in a job, and a terminal. Out: the record, saved after every answer. Must not judge any.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from dossier.commands.show import wrapped
from dossier.deeds.asking import Asking, answer, questions
from dossier.errors import CannotWrite, DossierError
from dossier.punchlist import Party, Sends
from dossier.questions.answer import chosen, excusable
from dossier.reading.model import is_not_applicable
from dossier.record.trees import JOB_FILE
from dossier.steps.asked import Asked
from dossier.values import Clock, listed, plural

if TYPE_CHECKING:
    from dossier.deeds.asking import Answered
    from dossier.hand.file import Draft
    from dossier.questions.question import Question

_HOW = (
    "Enter skips, ? says why it is asked, back goes to the one before, stop ends. Every answer is saved at once; "
    "what does not apply is answered with n/a and the reason."
)


def change_text(draft: "Draft") -> str:
    """Return the lines that an answer changed, without those around them."""
    lines = draft.difference(draft.shown.file)[2:]
    return "\n".join(f"  {line}" for line in lines if line[:1] in "+-")


class Talk:
    """One sitting: what was passed over, and what was asked before."""

    def __init__(self, asked: Asked, clock: Clock, only: Party | None) -> None:
        """only: whom to ask, None for everybody."""
        self._asked, self._clock, self._only = asked, clock, only
        self._passed: set[str] = set()
        self._before: list[Question] = []
        self._next: list[Question] = []
        """What is asked before the list is looked at again."""

    def hold(self, asking: Asking, typed: Callable[[str], str]) -> None:
        """Ask until nothing is left, or somebody says stop."""
        print(f"Job {asking.checked.number}: {plural(len(self._open(asking)), 'question')}.")
        print(wrapped(_HOW))
        while (one := self._take(asking)) is not None:
            print(f"\n{question_text(one)}")
            try:
                text = typed("> ").strip()
            except EOFError:
                print()
                break
            if text.lower() == "stop":
                break
            asking = self._said(asking, one, text)
        left = self._open(asking)
        print(f"\n{plural(len(left), 'question')} left. {counted(asking)}")

    def _open(self, asking: Asking) -> "list[Question]":
        return [one for one in asking.questions if self._only in (None, one.known_by)]

    def _take(self, asking: Asking) -> "Question | None":
        if self._next:
            return self._next.pop(0)
        for one in self._open(asking):
            left = one.of(field for field in one.fields if field not in self._passed)
            if left is not None:
                return left
        return None

    def _said(self, asking: Asking, one: "Question", text: str) -> Asking:
        """Do what was typed, and return the job as it is then."""
        if text == "?":
            print(why_text(one))
            self._next.insert(0, one)
        elif text.lower() == "back":
            # Whatever else was to come is on the list still.
            self._next = [one]
            if not self._before:
                print("  This is the first one.")
                return asking
            earlier = self._before.pop()
            self._passed -= set(earlier.fields)
            self._next = [earlier]
        elif text.lower() == "each" and len(one.fields) > 1:
            self._next[:0] = one.each()
        elif not text:
            self._before.append(one)
            self._passed |= set(one.fields)
        else:
            return self._answered(asking, one, text)
        return asking

    def _answered(self, asking: Asking, one: "Question", text: str) -> Asking:
        try:
            done = answer(self._asked, self._clock, asking, one, text)
        except CannotWrite as problem:
            # Somebody else changed the record meanwhile: it is read anew, and asked by what it says now.
            print(f"  {problem.message}")
            now = questions(self._asked, self._clock)
            if now.digests == asking.digests:
                raise
            print("  It was read again.")
            # Entries may have other numbers by now.
            self._next, self._before = [], []
            return now
        except DossierError as problem:
            print(f"  {problem.message}\n  {problem.remedy}")
            self._next.insert(0, one)
            return asking
        self._before.append(_as_it_stands(one, text))
        print(change_text(done.draft))
        self._say_what_came_of_it(done)
        # What an answer leaves open is not asked again in the same sitting.
        self._passed |= set(one.fields)
        # A list that does not apply has no further entry.
        if one.takes_more and not is_not_applicable(text) and not is_settled_within(one, done):
            self._next.insert(0, _one_more(one, done.asking))
        return done.asking

    def _say_what_came_of_it(self, done: "Answered") -> None:
        if done.open is not None and not done.open.takes_more:
            print(wrapped(f"Still open: {done.open.items[0].says}"))
        if done.gone:
            print(wrapped(f"No longer asked: {listed([one.name for one in done.gone])}."))
        if done.new:
            print(wrapped(f"Asked now: {listed([one.name for one in done.new])}."))


def _as_it_stands(one: "Question", text: str) -> "Question":
    """Return a question that was answered as it is asked again."""
    excused = is_not_applicable(text)
    at = ".".join(excusable(one)[0]) if excused else ""
    return replace(one, says_now=chosen(one, text), reason_at=at)


def is_settled_within(one: "Question", done: "Answered") -> bool:
    """Return whether a new entry has a list of its own that is asked for the same: a ticket, for its lines."""
    own = f"{one.fields[0]}."
    within = (new for new in done.new if new.takes_more and new.fields[0].startswith(own))
    return any(set(new.rules) & set(one.rules) for new in within)


def _one_more(one: "Question", asking: Asking) -> "Question":
    """Return the question for one more entry of the list: as it is asked now, or where it is no longer, alike."""
    *path, number = one.fields[0].split(".")
    field = ".".join((*path, str(int(number) + 1)))
    still = (now for now in asking.questions if (now.file, now.fields) == (one.file, (field,)))
    alike = replace(one, fields=(field,), may_not_apply=False, says_now="", reason_at="")
    return next(still, replace(alike, items=one.items[:1]))


def question_text(one: "Question") -> str:
    """Return a question as it is asked."""
    holds = f"holds {listed([held.value for held in one.holds])}" if one.holds else one.weight.value
    due = f", by {one.due.isoformat()}" if one.due else ""
    more = one.takes_more and not one.fields[0].endswith(".0")
    name = f"{one.name}, one more" if more else one.name
    lines = [f"{name[0].upper()}{name[1:]}  ({one.known_by.value}; {holds}{due})"]
    if one.file != JOB_FILE:
        lines.append(f"  Goes to {one.file}, for every job that goes by it.")
    if one.says_now:
        lines.append(wrapped(f"The record says “{one.says_now}”."))
    such = f" As in: {one.example}" if one.example and not one.choices else ""
    lines.append(wrapped(f"{one.meaning}{such}"))
    if words := one.choices or one.leads:
        # A word and its number stay on one line.
        numbered = (
            f"{n} {word}".replace(" ", "\N{NO-BREAK SPACE}") for n, word in enumerate(words, 1)
        )
        lines.append(wrapped("  ".join(numbered)).replace("\N{NO-BREAK SPACE}", " "))
    if one.sends is not Sends.NOWHERE:
        lines.append(wrapped(f"Nobody goes {one.sends} for an answer: Enter where nobody knows."))
    if one.several:
        lines.append("  One or several, parted by commas.")
    if len(one.fields) > 1:
        lines.append("  The same for all of them; each asks one by one.")
    if more:
        lines.append("  Enter where there is none.")
    elif one.takes_more and len(one.items) > 1:
        lines += [wrapped(str(item.says)) for item in one.items]
    return "\n".join(lines)


def why_text(one: "Question") -> str:
    """Return why a question is asked, by what source, and how it is answered."""
    lines = []
    for item in one.items:
        lines += [
            wrapped(str(item.says)),
            wrapped(str(item.why)),
            wrapped(f"Source: {item.source}"),
            wrapped(str(item.remedy)),
        ]
    unit = f", in {one.unit}" if one.unit and one.unit != "date" else ""
    lines.append(wrapped(f"Written as {one.kind}{unit}, as in: {one.example}"))
    lines.append(f"  Goes to {one.file}: {', '.join(one.fields)}")
    if one.may_not_apply:
        lines.append("  Where it does not apply: n/a, and the reason.")
    return "\n".join(lines)


def counted(asking: Asking) -> str:
    """Return how the job stands, in a sentence."""
    items = asking.checked.punch_list
    holding = sum(1 for item in items if item.holds)
    hold = plural(holding, "of them holds", "of them hold")
    return f"The punch list has {plural(len(items), 'item')}; {hold} something up."
