"""One line of the punch list, and the list: frozen values that every room may hand on.

In: what a rule or the reader found. Out: `Item` and `PunchList`. Must not know how an item was found
nor how it is printed.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from dossier.said import Said, Value, write


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


class SettledBy(StrEnum):
    """What settles an item that is missing or cannot be told. Only a fact that is typed can be asked for."""

    FACT = "a fact that is typed"
    PAPER = "a paper that is filed"
    PHOTO = "a photo that is filed"
    SHEET = "a figure in a catalogue or a terms sheet of the office"
    WORD = "somebody's word or work, which has to be had first"
    OTHERS = "whatever settles other items of the list, which it sums up"


class Sends(StrEnum):
    """Where what an item asks for may send somebody, the next always more than the one before."""

    NOWHERE = "nowhere"
    UP = "to the roof, a ladder or the attic"
    UP_AND_INTO_OLD_PAINT = "up, or into old paint"


@dataclass(frozen=True)
class Manner:
    """How what a rule finds is handed on.

    tells_owner: whether the owner’s own copy tells it where it is more than a note, since it concerns the record
    that the owner keeps and its sentence holds nothing but what every reader may see. life_safety: whether people
    are in danger while it stands, which puts it before all else. due_is: what its last day is, in a few words.
    said_by: the id of the statement that says the same where it is absent, so that a document has one of the two.
    of_flues: whether it finds the flues not looked at after the work, which the owner’s first page warns of.
    signs_off: whether it asks somebody to sign that the work is complete.
    """

    tells_owner: bool
    sends: Sends
    life_safety: bool
    due_is: str = ""
    said_by: str = ""
    of_flues: bool = False
    signs_off: bool = False


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
class Untold:
    """One question that stays open while a fact is blank.

    rule: whose question it is. question: a clause such as “whether the ice barrier on {slopes} reaches far
    enough”, with the slopes it is about. needs: what is missing, in the rule's own words.
    """

    rule: str
    question: Said
    needs: Value = ""

    @property
    def sort_key(self) -> tuple[str, tuple[str, tuple[str, ...]], str]:
        """Return the order of questions: by rule, then as they read."""
        return self.rule, self.question.sort_key, write(self.needs)


@dataclass(frozen=True)
class Item:
    """One thing that is missing, wrong or cannot be told, with who owes it, why and by when.

    told: the sentence for whoever is not of the office, where it is another one. due: the last day on which it
    still helps, or None where no date exists. asks: what whoever owes it is asked for, in words meant for that
    party, since the remedy speaks to the office; None where nobody is written to. life_safety: whether people are
    in danger while it stands. lacks: of an item that is missing or cannot be told, the places in the record where
    a fact is wanted, such as `building.wall_in`; a list that has entries stands for one more. untold: every
    question that stays open for it. settled_by: whether a typed fact settles it, or what else does. Field, slopes
    and questions are values here, so that somebody can be asked for the fact without reading a sentence. spots:
    its fields as people read them, with the slope that a number counts; empty where no record could be read.
    """

    rule: str
    weight: Weight
    verdict: Verdict
    says: Said
    why: Said
    source: str
    owed_by: Party
    remedy: Said
    holds: frozenset[Holds]
    due: date | None
    where: Where
    asks: Said | None = None
    manner: Manner = Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False)
    life_safety: bool = False
    lacks: tuple[str, ...] = ()
    untold: tuple[Untold, ...] = ()
    told: Said | None = None
    spots: tuple[str, ...] = ()
    settled_by: SettledBy = SettledBy.FACT

    @property
    def outside(self) -> Said:
        """Return its sentence for a reader outside the office."""
        return self.told or self.says

    @property
    def rules(self) -> tuple[str, ...]:
        """Return the ids of all rules that speak in this item, its own first."""
        return tuple(dict.fromkeys((self.rule, *(one.rule for one in self.untold))))

    @property
    def fields(self) -> tuple[str, ...]:
        """Return the places in the record to write at: those that are blank, else where the item stands."""
        return self.lacks or ((self.where.field,) if self.where.field else ())

    @property
    def place(self) -> str:
        """Return file, line and fields, as printed beside an item."""
        return " ".join((str(self.where), ", ".join(self.spots or self.fields))).strip()

    @property
    def sort_key(self) -> tuple[bool, int, date, str, Where, tuple[str, tuple[str, ...]]]:
        """Return the order of the list: what is lost soonest first, and never by chance.

        Life safety; then weight; then the last day, a day that is past before one to come and no day last;
        then rule id, place, sentence.
        """
        weight, day = _WEIGHT_ORDER[self.weight], self.due or date.max
        return (not self.life_safety, weight, day, self.rule, self.where, self.says.sort_key)


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
