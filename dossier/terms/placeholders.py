"""The words that the blank sheets of `dossier start` are shipped with, and where a sheet still says them.

In: a sheet as read. Out: dotted fields, the words found there and whether they were typed. Must not know any job.
A blank's words are there to be typed over; on a homeowner's document they would be a promise by nobody.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from dossier.reading.model import Model
from dossier.values import spelt

PLACEHOLDERS = frozenset(
    {
        "a local change of the code",
        "as the maker calls it",
        "its edition",
        "its number",
        "the higher level's name",
        "the level of certification",
        "the level's name",
        "the maker",
        "the name on the wrapper",
        "the number printed on it",
        "the place",
        "the title printed on the document",
        "the year",
        "the year of this sheet",
        "what ends coverage",
        "what ends it",
        "what it is, in one plain sentence.",
        "what it pays, in a few plain words",
        "what it pays, in a few plain words.",
        "what the claims desk asks for",
        "what the notice must hold",
        "where that is printed",
        "your company",
    }
)
"""Each as in `templates/start/`, in small letters; a test compares them."""


def is_placeholder(text: str) -> bool:
    """Return whether a text is still what a blank sheet says."""
    return spelt(text) in PLACEHOLDERS


@dataclass(frozen=True)
class Placeholder:
    """A field that says what a blank sheet says. typed: whether its line stands in the sheet at all."""

    path: str
    words: str
    typed: bool


def placeholders_in(sheet: Model) -> Iterator[Placeholder]:
    """Yield each field that says what the blank sheet says."""
    yield from _within(sheet, (), typed=True)


def _within(value: Any, path: tuple[str, ...], *, typed: bool) -> Iterator[Placeholder]:
    if isinstance(value, str):
        if is_placeholder(value):
            yield Placeholder(".".join(path), value, typed)
    elif isinstance(value, Model):
        for name, inner in value:
            yield from _within(inner, (*path, name), typed=name in value.model_fields_set)
    elif isinstance(value, Sequence):
        for number, inner in enumerate(value):
            yield from _within(inner, (*path, str(number)), typed=typed)
