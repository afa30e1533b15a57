"""The conditions a maker's terms set for one warranty level, as data that can be judged.

In: nodes by way of `reading`. Out: `Condition`, a small tree. Must not judge anything: whether a
condition is met is for `assess/`. Each condition names the clause of the maker's printed document.
"""

from collections.abc import Callable, Mapping, Sequence
from enum import StrEnum
from types import MappingProxyType
from typing import Any, Self

from pydantic import model_validator

from dossier.reading.kinds import (
    Count,
    DeckKindWord,
    EdgeKindWord,
    Inches,
    Line,
    Money,
    PaperKindWord,
    PhaseWord,
    RoleWord,
    YesNo,
)
from dossier.reading.model import Model, told
from dossier.values import listed, plural, write_inches, write_money


def _is_given(value: Any) -> bool:
    """Return whether a test was given; “no” and a fee of nothing ask for nothing."""
    return not (value is None or value is False or value == () or value == 0)


class CountedAccessories(Model):
    """So many kinds of the maker's own accessories out of a list."""

    at_least: Count = told("How many kinds.", example="4", default=...)
    of: tuple[RoleWord, ...] = told("The roles that count.", default=...)

    @model_validator(mode="after")
    def _can_be_met(self) -> Self:
        _between(self.at_least, len(set(self.of)))
        return self


class DeckCondition(Model):
    """What deck the terms accept."""

    kinds: tuple[DeckKindWord, ...] = told("Kinds of deck accepted; all where blank.", default=())
    largest_gap_in: Inches | None = told(
        "Largest gap between boards that is accepted.", example="1/4 in", unit="in"
    )

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if not self.kinds and self.largest_gap_in is None:
            raise ValueError("found neither kinds nor largest_gap_in, needed one of them")
        return self


def _between(at_least: int, all_: int) -> None:
    """Raise ValueError for a count that nothing, or everything, would meet."""
    if not 1 <= at_least <= all_:
        raise ValueError(f"found at_least {at_least} of {all_}, needed a number from 1 to {all_}")


class AnyOf(Model):
    """So many of a list of conditions."""

    at_least: Count = told("How many must be met.", example="1", default=1)
    of: tuple["Condition", ...] = told("The conditions.", default=...)

    @model_validator(mode="after")
    def _can_be_met(self) -> Self:
        _between(self.at_least, len(self.of))
        return self


class Condition(Model):
    """One condition: its clause, its words, and exactly one test."""

    clause: Line = told("Clause in the maker's document.", example="3.2", default="")
    says: Line = told(
        "The condition in a few plain words.",
        example="Six nails in each shingle.",
        default="",
    )
    same_maker: tuple[RoleWord, ...] = told(
        "Each of these roles is there and is this maker's product.", default=()
    )
    counted_accessories: CountedAccessories | None = told(
        "So many kinds of the maker's own accessories."
    )
    certification: Line | None = told(
        "The installer held this certification on the days of the work.",
        example="Assembly Installer",
    )
    full_tear_off: YesNo | None = told("Old roof off down to the deck.", example="yes")
    deck: DeckCondition | None = told("The deck the terms accept.")
    ventilation: YesNo | None = told(
        "The attic's vents meet the code's required area.", example="yes"
    )
    nails_per_shingle: Count | None = told("Fasteners a shingle, at least.", example="6")
    starter_at: tuple[EdgeKindWord, ...] = told("Edges that carry starter.", default=())
    lots_of: tuple[RoleWord, ...] = told("Roles whose lots must be on record.", default=())
    photos_of: tuple[PhaseWord, ...] = told("Phases of which a photo must be on file.", default=())
    papers: tuple[PaperKindWord, ...] = told("Papers that must be on file.", default=())
    permit_closed: YesNo | None = told("The permit is closed.", example="yes")
    owner_signature: YesNo | None = told("The owner signed the registration.", example="yes")
    completion_signed: YesNo | None = told("The owner signed the completion.", example="yes")
    fee: Money | None = told("A registration fee is paid.", example="75.00", unit="$")
    paid_in_full: YesNo | None = told("The job is paid in full.", example="yes")
    all_of: tuple["Condition", ...] = told("All of these.", default=())
    any_of: AnyOf | None = told("So many of these.")
    wherever: YesNo = told(
        "Whether it holds on every roof, also on one that has no place for the thing.",
        example="no",
        default=False,
    )
    unless: "Condition | None" = told("The condition falls away where this one is met.")

    @property
    def test(self) -> str:
        """Return the name of the one test."""
        return next(name for name in TESTS if _is_given(getattr(self, name)))

    @property
    def words(self) -> str:
        """Return the condition in a whole sentence: as the sheet says it, else what its test asks for."""
        return self.says or _WORDS[self.test](getattr(self, self.test))

    @model_validator(mode="after")
    def _one_test(self) -> Self:
        given = [name for name in TESTS if _is_given(getattr(self, name))]
        if self.fee is not None and self.fee <= 0:
            raise ValueError("found a fee of nothing, needed an amount above zero")
        if len(given) != 1:
            found = listed(given) or "none"
            raise ValueError(f"found {found}, needed exactly one test in a condition")
        return self


# The two name each other; until rebuilt, a group's field list would not know what it holds.
AnyOf.model_rebuild()
Condition.model_rebuild()

TESTS: tuple[str, ...] = tuple(
    name for name in Condition.model_fields if name not in ("clause", "says", "unless", "wherever")
)


def _all(words: Sequence[StrEnum], joint: str = "and") -> str:
    return listed([str(word.value) for word in words], joint)


def _deck(deck: DeckCondition) -> str:
    kind = f"The deck is {_all(deck.kinds, 'or')}" if deck.kinds else "The deck is of any kind"
    if deck.largest_gap_in is None:
        return f"{kind}."
    return f"{kind}, with no gap above {write_inches(deck.largest_gap_in)}."


_WORDS: Mapping[str, Callable[[Any], str]] = MappingProxyType(
    {
        "same_maker": lambda roles: f"The maker’s own {_all(roles)}.",
        "counted_accessories": lambda some: (
            f"At least {some.at_least} of the maker’s own {_all(some.of)}."
        ),
        "certification": lambda held: f"Installed by a holder of {held}.",
        "full_tear_off": lambda _: "Old roof off down to the deck.",
        "deck": _deck,
        "ventilation": lambda _: "The attic’s vents meet the code’s required area.",
        "nails_per_shingle": lambda nails: f"At least {plural(nails, 'nail')} in each shingle.",
        "starter_at": lambda edges: f"Starter at {_all(edges)}.",
        "lots_of": lambda roles: f"Lots of {_all(roles)} on record.",
        "photos_of": lambda phases: f"Photos of {_all(phases)} on file.",
        "papers": lambda kinds: f"On file: {_all(kinds)}.",
        "permit_closed": lambda _: "The permit is closed.",
        "owner_signature": lambda _: "The owner signed the registration.",
        "completion_signed": lambda _: "The owner signed the completion.",
        "fee": lambda amount: f"A registration fee of {write_money(amount)} is paid.",
        "paid_in_full": lambda _: "The job is paid in full.",
        "all_of": lambda parts: f"All {len(parts)} of these." if len(parts) > 1 else "This.",
        "any_of": lambda some: f"At least {some.at_least} of these {len(some.of)}.",
    }
)
"""What each test asks for, where the sheet has no words of its own."""


def flat(conditions: tuple[Condition, ...]) -> tuple[Condition, ...]:
    """Return all conditions of a tree, groups and their members alike."""
    found: list[Condition] = []
    for condition in conditions:
        found.append(condition)
        inner: Any = condition.all_of or (condition.any_of.of if condition.any_of else ())
        found.extend(flat(tuple(inner)))
    return tuple(found)
