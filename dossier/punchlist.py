"""One line of the punch list, and the list: frozen values that every room may hand on.

In: what a rule or the reader found. Out: `Item` and `PunchList`. Must not know how an item was found
nor how it is printed.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum


class Party(StrEnum):
    """Who owes an item."""

    CREW = "crew"
    OFFICE = "office"
    SUPPLIER = "supplier"
    PERMIT_OFFICE = "permit office"
    HOMEOWNER = "homeowner"
    MAKER = "maker"
    INSURER = "insurer"


class Holds(StrEnum):
    """What an item keeps from being done, in the order in which it is always printed."""

    HANDOVER = "handover"
    REGISTRATION = "registration"
    PERMIT = "permit"
    PAYMENT = "payment"


class Weight(StrEnum):
    """How heavy an item is: it holds something up, only weakens a later claim, or is a note."""

    HOLDS = "holds"
    WEAKENS = "weakens"
    NOTE = "note"


class Verdict(StrEnum):
    """What the item says about the record. CANNOT_TELL names an input that is needed to judge."""

    MISSING = "missing"
    WRONG = "wrong"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, order=True)
class Where:
    """A place in the record: file within the job or office folder, line from 1, dotted field."""

    file: str
    line: int = 0
    field: str = ""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}" if self.line else self.file


_WEIGHT_ORDER = {weight: number for number, weight in enumerate(Weight)}


@dataclass(frozen=True)
class Item:
    """One thing that is missing, wrong or cannot be told, with who owes it, why and by when.

    due: the last day on which it still helps, or None where no date exists.
    """

    rule: str
    weight: Weight
    verdict: Verdict
    says: str
    why: str
    source: str
    owed_by: Party
    remedy: str
    holds: frozenset[Holds]
    due: date | None
    where: Where

    @property
    def sort_key(self) -> tuple[int, str, Where, str]:
        """Return the order of the list: by weight, rule id, place, sentence; never by chance."""
        return (_WEIGHT_ORDER[self.weight], self.rule, self.where, self.says)


@dataclass(frozen=True)
class PunchList:
    """All items of one job, sorted once."""

    items: tuple[Item, ...] = field(default=())

    @classmethod
    def of(cls, items: Iterable[Item]) -> "PunchList":
        """Return the list of these items in their one order, a repeated item kept once."""
        return cls(tuple(sorted(set(items), key=lambda item: item.sort_key)))

    def __iter__(self) -> Iterator[Item]:
        return iter(self.items)

    def __len__(self) -> int:
        return len(self.items)

    def holding(self, held: Holds) -> tuple[Item, ...]:
        """Return the items that keep this from being done."""
        return tuple(item for item in self.items if held in item.holds)

    def is_ready(self, held: Holds) -> bool:
        """Return whether nothing on the list keeps this from being done."""
        return not self.holding(held)

    @property
    def holds_anything(self) -> bool:
        """Return whether any item holds anything up; this decides the exit code."""
        return any(item.holds for item in self.items)
