"""What is said, before it is printed: a whole English sentence with named slots, and typed values for them.

In: text with slots, values. Out: `Said`, frozen and hashable; `str` of it is English. Must not know who reads it.
A slot is `{name}`, `{name!c}` where its value begins a sentence and takes a capital, or `{name:is|are}` for one of
two words by how many the value stands for. Whoever merges, withholds or counts does it with values; what is
printed is not searched, compared or cut.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from string import Formatter
from typing import Any, Self, TypeAlias, Union

from dossier.values import (
    Days,
    Pitch,
    listed,
    plural,
    unit_behind,
    write_area,
    write_date,
    write_feet,
    write_inches,
    write_money,
    write_number,
    write_runs,
    write_share,
)


@dataclass(frozen=True)
class Inches:
    """A length in inches."""

    inches: Fraction

    def __str__(self) -> str:
        return write_inches(self.inches)


@dataclass(frozen=True)
class Feet:
    """A length in feet."""

    feet: Fraction

    def __str__(self) -> str:
        return write_feet(self.feet)


@dataclass(frozen=True)
class Area:
    """An area in square feet."""

    sqft: Fraction

    def __str__(self) -> str:
        return write_area(self.sqft)


@dataclass(frozen=True)
class Money:
    """An amount in dollars and cents."""

    amount: Decimal

    def __str__(self) -> str:
        return write_money(self.amount)


@dataclass(frozen=True)
class Share:
    """A share of one, written as a percentage with at most so many decimals."""

    share: Fraction
    decimals: int = 1

    def __str__(self) -> str:
        return write_share(self.share, self.decimals)


@dataclass(frozen=True)
class Number:
    """A number that is no whole one by nature, with its unit where it has one; at most so many decimals."""

    number: Fraction | int | Decimal
    unit: str = ""
    decimals: int = 1

    def __str__(self) -> str:
        number = write_number(self.number, self.decimals)
        return f"{number} {unit_behind(self.number, self.unit)}" if self.unit else number


@dataclass(frozen=True)
class Count:
    """So many of one thing, in its two words: 1 photo, 12 photos. many: the noun with an s where None."""

    count: int
    one: str
    many: str | None = None

    def __str__(self) -> str:
        return plural(self.count, self.one, self.many)


@dataclass(frozen=True)
class Slopes:
    """Slopes by their labels: slope back, slopes back and front; the roof where none is named."""

    labels: tuple[str, ...]

    def __str__(self) -> str:
        word = "slope" if len(self.labels) == 1 else "slopes"
        return f"{word} {listed(self.labels)}" if self.labels else "the roof"


@dataclass(frozen=True)
class Runs:
    """Whole numbers, such as those of photos, with runs joined: 1, 4 to 7 and 9."""

    numbers: tuple[int, ...]

    def __str__(self) -> str:
        return write_runs(self.numbers)


@dataclass(frozen=True)
class Person:
    """Somebody by name."""

    name: str

    def __str__(self) -> str:
        return self.name


@dataclass(frozen=True)
class File:
    """A photo, paper or sheet by its path in the job or office folder."""

    file: str

    @property
    def is_photo(self) -> bool:
        """Return whether it lies among the photos of a job."""
        return self.file.startswith("photos/")

    @property
    def name(self) -> str:
        """Return its path within the folder of photos or papers."""
        return self.file.removeprefix("photos/").removeprefix("papers/")

    def __str__(self) -> str:
        return self.file


@dataclass(frozen=True)
class Product:
    """A product by its name, as the record or the catalogue has it."""

    name: str

    def __str__(self) -> str:
        return self.name


@dataclass(frozen=True)
class Listed:
    """Several values in a row. joint: a word before the last, “and” or “or”, else what stands between any two."""

    parts: tuple["Value", ...]
    joint: str = "and"

    def __str__(self) -> str:
        texts = [write(part) for part in self.parts]
        return listed(texts, self.joint) if self.joint.isalpha() else self.joint.join(texts)


Value: TypeAlias = Union[
    str, int, date, Days, Pitch, Inches, Feet, Area, Money, Share, Number, Count, Runs, Slopes,
    Person, File, Product, Listed, "Said",
]  # fmt: skip
"""What a slot takes. A plain `str` is somebody's own words, which may be searched for a name; a word of a closed
list (`StrEnum`) is ours. A whole number is written without commas, as a year or a count of nails is."""


@dataclass(frozen=True)
class Said:
    """A sentence, a clause or a label: its text with slots, and a value for each slot."""

    text: str
    values: tuple[tuple[str, Value], ...] = ()

    def __post_init__(self) -> None:
        if slots_of(self.text) != {name for name, _ in self.values}:
            names = ", ".join(name for name, _ in self.values) or "nothing"
            raise ValueError(f"“{self.text}” was given {names}")

    @classmethod
    def of(cls, text: str, values: Mapping[str, Value]) -> Self:
        """Return the sentence with those of the values that it has a slot for."""
        wanted = slots_of(text)
        return cls(text, tuple(sorted((n, v) for n, v in values.items() if n in wanted)))

    def __str__(self) -> str:
        values = dict(self.values)
        return "".join(
            literal + (_written(values[name], form) if name else "")
            for literal, name, form in _parts(self.text)
        )

    def get(self, name: str) -> Value | None:
        """Return the value of a slot, or None where the sentence has no such slot."""
        return dict(self.values).get(name)

    @property
    def leaves(self) -> Iterator[Value]:
        """Yield every value in it, those of sentences and rows within it one by one."""
        for _, value in self.values:
            yield from _leaves(value)

    @property
    def sort_key(self) -> tuple[str, tuple[str, ...]]:
        """Return what puts sentences in one order: their text, then their values as they are read."""
        values = dict(self.values)
        return self.text, tuple(write(values[name]) for _, name, _ in _parts(self.text) if name)

    def changed(self, change: Callable[[Value], Value]) -> "Said":
        """Return the sentence with every value in it changed, those within rows and sentences too."""
        return replace(self, values=tuple((name, _changed(v, change)) for name, v in self.values))

    @property
    def data(self) -> dict[str, Any]:
        """Return the sentence for JSON: its English, its text with slots, and each value with its kind."""
        values = {name: _data(value) for name, value in self.values}
        return {"english": str(self), "text": self.text, "values": values}


@dataclass(frozen=True)
class Answer(Said):
    """An answer that is needed, as its question within a sentence: whether one is named on it."""


def say(text: str, /, **values: Value) -> Said:
    """Return a sentence with a value for each of its slots."""
    return Said(text, tuple(sorted(values.items())))


def as_said(words: Said | str) -> Said:
    """Return a sentence; a text that is none yet is kept whole, as somebody's own words."""
    return words if isinstance(words, Said) else say("{words}", words=words)


def write(value: Value) -> str:
    """Return a value as it is printed."""
    return write_date(value) if isinstance(value, date) else str(value)


def joined(parts: Iterable[Said | str], joint: str = " ") -> Said:
    """Return sentences or clauses as one, each once, in their order; one alone stays what it is."""
    each = tuple(dict.fromkeys(parts))
    if len(each) == 1 and isinstance(each[0], Said):
        return each[0]
    return say("{all}", all=Listed(each, joint))


def over_slopes(sentences: Iterable[Said]) -> tuple[Said, ...]:
    """Return the sentences, each once; those alike but for their slopes as one that names all of these.

    The slopes keep the order in which they were named. A sentence with two groups of slopes stays as it is.
    """
    named: dict[Said, list[str]] = {}
    for one in sentences:
        groups = {leaf.labels for leaf in one.leaves if isinstance(leaf, Slopes)}
        if len(groups) == 1:
            named.setdefault(one.changed(_naming(())), []).extend(groups.pop())
        else:
            named.setdefault(one, [])
    return tuple(
        one.changed(_naming(tuple(dict.fromkeys(labels)))) if labels else one
        for one, labels in named.items()
    )


def _naming(labels: tuple[str, ...]) -> Callable[[Value], Value]:
    return lambda value: Slopes(labels) if isinstance(value, Slopes) else value


@lru_cache(maxsize=4096)
def _parts(text: str) -> tuple[tuple[str, str, str], ...]:
    """Return literal, slot and form of each part of a text; the form of a capital is “!”."""
    return tuple(
        (literal, name or "", "!" if conversion == "c" else form or "")
        for literal, name, form, conversion in Formatter().parse(text)
    )


def slots_of(text: str) -> set[str]:
    """Return the names of the slots of a text."""
    return {name for _, name, _ in _parts(text) if name}


def _written(value: Value, form: str) -> str:
    written = write(value)
    if form == "!":
        return written[:1].upper() + written[1:]
    if form:
        one, many = form.split("|")
        return one if how_many(value) == 1 else many
    return written


def is_own_words(value: Value) -> bool:
    """Return whether a value is what somebody typed, and no word of a closed list."""
    return isinstance(value, str) and not isinstance(value, StrEnum)


def how_many(value: Value) -> int | Fraction | Decimal:
    """Return how many things a value stands for; a sentence, a word or a day is one."""
    match value:
        case Count(count=count):
            return count
        case Runs(numbers=numbers):
            return len(set(numbers))
        case Slopes(labels=parts) | Listed(parts=parts):
            return len(parts)
        case Number(number=number) | Feet(feet=number) | Inches(inches=number):
            return number
    return value if isinstance(value, int) else 1


def _leaves(value: Value) -> Iterator[Value]:
    match value:
        case Said():
            yield from value.leaves
        case Listed(parts=parts):
            for part in parts:
                yield from _leaves(part)
        case _:
            yield value


def _changed(value: Value, change: Callable[[Value], Value]) -> Value:
    match value:
        case Said():
            return value.changed(change)
        case Listed(parts=parts):
            return replace(value, parts=tuple(_changed(part, change) for part in parts))
    return change(value)


def _data(value: Value) -> dict[str, Any]:
    """Return a value for JSON: its kind, its English, and what it is made of."""
    match value:
        case Said():
            return {"kind": "sentence", **value.data}
        case Listed(parts=parts, joint=joint):
            made_of: dict[str, Any] = {"parts": [_data(part) for part in parts], "joint": joint}
        case date():
            made_of = {"day": value.isoformat()}
        case str() | int():
            made_of = {}
        case _:
            made_of = {one.name: _plain(getattr(value, one.name)) for one in fields(value)}
    return {"kind": _kind(value), "english": write(value), **made_of}


def _kind(value: Value) -> str:
    match value:
        case StrEnum():
            return "word"
        case str():
            return "own words"
        case int():
            return "whole number"
    return type(value).__name__.lower()


def _plain(part: object) -> object:
    if isinstance(part, tuple):
        return list(part)
    return str(part) if isinstance(part, (Fraction, Decimal, date)) else part


NOT_ON_RECORD = say("not on record")
