"""The names of former owners, and how to reach them, found and taken out of free text.

In: a job as the office sees it, and texts in any frozen shape. Out: the same shapes without those words. Must
not know a document. Which fields a resale edition may show is declared at the fields; this is for what people
type into the others, such as a caption that names the owner.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TypeVar

from dossier.reading.model import Model
from dossier.record.job import Job
from dossier.said import Person, Product, Said, Slopes, Value, is_own_words
from dossier.words import Phase, Role

T = TypeVar("T")

_PROSE = frozenset(
    {
        *("caption", "cause", "place", "backs", "notes", "note", "space", "because", "reserve"),
        *("left_with_owner", "scope_reason", "old_covering", "checked_by", "kind"),
    }
)
"""Fields in which a surname alone stands for a person; elsewhere it may be a product or a colour. The last is a
sentence of ours, which may repeat the others."""

_KEPT = frozenset({"file", "number", "address", "template"})
"""Fields that name a file, the job or the house. Their own rules decide who may see them."""

_LEAST_LETTERS = 4
"""A shorter word is too often part of another text: a surname of three letters stays where it stands."""


@dataclass(frozen=True)
class Private:
    """The words of former owners. names: full names. reach: telephones, mail, post. surnames: last words."""

    names: re.Pattern[str] | None
    reach: re.Pattern[str] | None
    surnames: re.Pattern[str] | None

    def out_of(self, text: str, *, prose: bool = False) -> str:
        """Return the text with “the owner” for a name and “not shown” for a way to reach one."""
        if self.reach:
            text = self.reach.sub("not shown", text)
        if self.names:
            text = self.names.sub("the owner", text)
        if prose and self.surnames:
            text = self.surnames.sub("the owner", text)
        return text

    def named_in(self, file: str) -> bool:
        """Return whether a file's name holds a name, alone or with others, or a way to reach one."""
        found = (self.names, self.reach, self.surnames)
        return any(pattern is not None and pattern.search(file) for pattern in found)


NOBODY = Private(None, None, None)
"""Where nothing is kept from a reader."""


def private_words(job: Job, misspelt: Iterable[str] = ()) -> Private:
    """Return the words of a job's owners; none that the house's own address is made of.

    misspelt: what stood for a name, or a way to reach an owner, before it was corrected.
    """
    names = [owner.name for owner in job.owners if owner.name] + list(misspelt)
    reach = [
        text
        for owner in job.owners
        for text in (owner.phone, owner.email, owner.mailing_address)
        if text
    ]
    people = [person for name in names for person in _people(name)]
    reach += [short for text in reach for short in _short_forms(text)]
    # A surname that is a word of any roof, such as Back or Ridge, stands for the roof wherever it is alone.
    last = [
        form
        for person in people
        if (surname := _surname(person)) and surname.lower() not in _OF_A_ROOF
        for form in (surname, f"{surname}s")
    ]
    address = job.job.address
    return Private(
        _pattern([*names, *(one for one in people if " " in one)], address),
        _pattern(reach, address),
        _pattern(last, address, _LEAST_LETTERS),
    )


_BEHIND_A_NAME = frozenset({"jr", "sr", "ii", "iii", "iv"})
_PARTS = (
    "north south east west front back rear left right upper lower main side porch garage dormer"
)
_OF_A_ROOF = frozenset(
    word
    for words in (*(one.value for one in (*Phase, *Role)), _PARTS)
    for word in words.replace("-", " ").split()
)
"""Words by which slopes, phases and products go; a slope that is called after its owner is no word of a roof."""

_NO_PERSON = frozenset({"trust", "family", "llc", "inc", "ltd", "estate", "association", "company"})
"""Words of an owner's name that name nobody."""


def _people(name: str) -> list[str]:
    """Return who is named in one owner's name: “Olaf and Tove Hagen”; “Hagen, Olaf” is one person."""
    parts = [part.strip() for part in re.split(r"\s+(?:and|&)\s+|\s*&\s*", name) if part.strip()]
    turned = (" ".join(reversed(re.split(r",\s*", part, maxsplit=1))) for part in parts)
    return [
        " ".join(word for word in one.split() if word.strip(".,").lower() not in _BEHIND_A_NAME)
        for one in turned
    ]


def _surname(person: str) -> str:
    """Return the last word of a name that names somebody; empty where there are not two words."""
    words = [word.strip(".,") for word in person.split()]
    named = [word for word in words if word.lower() not in _NO_PERSON]
    return named[-1] if len(words) > 1 and named else ""


def _short_forms(reach: str) -> Iterator[str]:
    """Yield a telephone number without its marks, and its last seven digits, as people type it."""
    digits = re.sub(r"\D", "", reach)
    if len(digits) >= 7 and not re.search(r"[^\W\d]", reach):
        yield from (digits, digits[-7:], f"{digits[-7:-4]}-{digits[-4:]}")


def _pattern(texts: list[str], address: str, least: int = 1) -> re.Pattern[str] | None:
    parts = sorted(set(_parts(texts, address, least)), key=lambda part: (-len(part), part))
    return re.compile("|".join(parts), re.IGNORECASE) if parts else None


def _parts(texts: list[str], address: str, least: int) -> Iterator[str]:
    for text in texts:
        # File names join words with dashes or underscores, and a telephone is typed in several ways.
        words = [re.escape(word) for word in re.split(r"[\W_]+", text) if word]
        part = r"(?<![^\W_])" + r"[\W_]{1,3}".join(words) + r"(?![^\W_])"
        long_enough = sum(len(word) for word in words) >= least
        if words and long_enough and not re.search(part, address, re.IGNORECASE):
            yield part


def without(value: T, private: Private, *, prose: bool = False) -> T:
    """Return a text, tuple, model or frozen dataclass with the words taken out of every text in it.

    prose: whether a surname alone is taken out too. What names a file, the job or the house is left.
    """
    found: object = value
    if isinstance(value, str) and type(value) is str:
        found = private.out_of(value, prose=prose)
    elif isinstance(value, Said):
        found = value.changed(lambda part: _withheld(part, private, prose=prose))
    elif isinstance(value, tuple):
        found = tuple(without(part, private, prose=prose) for part in value)
    elif isinstance(value, Model):
        names = [name for name in type(value).model_fields if name not in _KEPT]
        found = value.model_copy(update=_changed(value, names, private, prose))
    elif is_dataclass(value) and not isinstance(value, type):
        names = [one.name for one in fields(value) if one.name not in _KEPT and one.init]
        found = replace(value, **_changed(value, names, private, prose))
    return found  # type: ignore[return-value]


def _withheld(value: Value, private: Private, *, prose: bool) -> Value:
    """Return a value of a sentence without the words: names are looked for in what people typed, not in ours."""
    match value:
        case Person(name=name):
            return Person(private.out_of(name, prose=True))
        case Product(name=name):
            return Product(private.out_of(name))
        case Slopes(labels=labels):
            return Slopes(tuple(private.out_of(label, prose=prose) for label in labels))
    return private.out_of(str(value), prose=prose) if is_own_words(value) else value


def _changed(value: object, names: list[str], private: Private, prose: bool) -> dict[str, object]:
    before = {name: getattr(value, name) for name in names}
    after = {
        name: without(part, private, prose=prose or name in _PROSE) for name, part in before.items()
    }
    # What holds no such word stays the very object it was.
    return {name: part for name, part in after.items() if part != before[name]}
