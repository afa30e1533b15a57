"""The kinds of value a field may hold: how its text is read, how it is written back.

In: text. Out: annotated types for the models of `record/` and `terms/`. Must not know any one field.
Every kind also takes a value that is already of its type, so that a model can be built in Python.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import partial
from operator import attrgetter
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import core_schema

from dossier import values, words
from dossier.reading.near import nearest

MOST_CHARACTERS = 20_000

MOST_COUNT = 1_000_000
"""No roof has more of anything that is counted; beyond it a finger stayed on a key."""

MOST_DAYS = 36_500
"""A hundred years: counted on from the last year that is read, the calendar still has the day."""

MOST_YEARS = 200
"""Longest term that is read; the last year that is read and this still make a date."""

MOST_WIND_MPH = 400
"""Above every wind ever measured near the ground, 253 mph (Barrow Island, 1996; World Meteorological
Organization, archive of weather and climate extremes, from memory)."""


@dataclass(frozen=True, eq=False)
class Kind:
    """One way of turning text into a value and back, for use inside `Annotated`."""

    name: str
    """As printed in the field list."""
    type: type | tuple[type, ...]
    parse: Callable[[str], Any]
    write: Callable[[Any], str]
    """Exact, so that reading it gives the same."""
    example: str
    choices: tuple[str, ...] = ()
    splits: bool = False
    """Whether a list of this kind may be written on one line, parted by commas."""
    above_zero: bool = False
    """Whether nought is refused, for a measure of something that is there."""
    most: int | None = None
    """The largest value that is taken, in the kind's own unit; None where the parser sets its own bounds."""

    def read(self, given: Any) -> Any:
        """Return the value; raises ValueError with what was found and what was needed."""
        value = given
        if isinstance(given, str) and not isinstance(given, StrEnum):
            value = self.parse(given)
        if isinstance(value, self.type):
            bound = self._bound_passed(value)
            if bound:
                raise ValueError(f"found “{values.clip(str(given))}”, needed {self.name} {bound}")
            return value
        found = "a list" if isinstance(given, list | tuple) else "a group of fields"
        raise ValueError(f"found {found}, needed {self.name} such as {self.example}")

    def reads(self, text: str) -> bool:
        """Return whether a text can be read as such a value."""
        try:
            self.read(text)
        except ValueError:
            return False
        return True

    def _bound_passed(self, value: Any) -> str:
        """Return the bound that a value passes, as the end of a sentence; empty for none."""
        if self.above_zero and value == 0:
            return "above zero"
        if self.most is not None and value > self.most:
            return f"of at most {self.most:,}"
        return ""

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.read,
            serialization=core_schema.plain_serializer_function_ser_schema(self.write),
        )

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        if self.choices:
            return {"type": "string", "enum": list(self.choices)}
        # An editor's YAML plug-in reads 40 as a number and yes as a boolean before it looks here.
        return {"type": ["string", "number", "boolean"], "title": self.name}


def _text(text: str) -> str:
    stripped = text.strip()
    if len(stripped) > MOST_CHARACTERS:
        raise ValueError(
            f"found {len(stripped):,} characters, needed at most {MOST_CHARACTERS:,} in one field"
        )
    return stripped


def _normal(text: str) -> str:
    return " ".join(text.lower().replace("-", " ").replace("_", " ").split())


def _word_kind(enum: type[StrEnum]) -> Kind:
    by_word = {_normal(member.value): member for member in enum}

    def parse(text: str) -> StrEnum:
        found = by_word.get(_normal(text))
        if found is not None:
            return found
        near = nearest(text, [str(member.value) for member in enum])
        needed = values.listed([str(member.value) for member in enum], "or")
        hint = f"; the nearest is {near}" if near else ""
        raise ValueError(f"found “{values.clip(text)}”, needed {needed}{hint}")

    first = next(iter(enum)).value
    choices = tuple(member.value for member in enum)
    write = attrgetter("value")
    return Kind("a word from the list", enum, parse, write, first, choices, splits=True)


def _exact(number: Fraction, unit: str) -> str:
    return f"{number} {unit}"


class LeavesFolderError(ValueError):
    """A file path that leads out of the job folder."""


def _parse_file(text: str) -> str:
    """Return a path inside the job folder, with forward slashes; raises ValueError otherwise."""
    path = text.strip()
    parts = path.split("/")
    if "\\" in path or path.startswith("/") or (len(path) > 1 and path[1] == ":"):
        raise LeavesFolderError(
            f"found “{values.clip(path)}”, needed a path inside the job folder "
            "such as papers/permit.pdf"
        )
    if any(part in ("", ".", "..") for part in parts):
        raise LeavesFolderError(f"found “{values.clip(path)}”, which leads out of the job folder")
    return path


def _write_money(amount: Decimal) -> str:
    return f"{amount:.2f}"


def _decimal(number: Fraction) -> str:
    """Return the number as a decimal, every place of it; raises ValueError where they never end."""
    places, scaled = 0, abs(number)
    while scaled.denominator != 1:
        scaled *= 10
        places += 1
        if places > values.MOST_DIGITS:
            raise ValueError(f"{number} has no exact decimal")
    sign = "-" if number < 0 else ""
    whole, rest = divmod(int(scaled), 10**places)
    return f"{sign}{whole}.{rest:0{places}d}" if places else f"{sign}{whole}"


def _write_place(place: values.Place) -> str:
    return f"{_decimal(place.latitude_deg)}, {_decimal(place.longitude_deg)}"


Line = Annotated[str, Kind("text", str, _text, str, "two words")]
Name = Annotated[str, Kind("text", str, _text, str, "two words", splits=True)]
"""A name that a list on one line may hold: several are parted by commas, so that none is a name with a comma."""
Label = Annotated[str, Kind("a label", str, _text, str, "front", splits=True)]


def _length(unit: str, example: str, *, above_zero: bool = False) -> Kind:
    parse = {"ft": values.parse_length_ft, "in": values.parse_length_in}[unit]
    write = partial(_exact, unit=unit)
    return Kind("a length", Fraction, parse, write, example, above_zero=above_zero)


def _area(unit: str, example: str, *, above_zero: bool = False) -> Kind:
    parse = {"sq ft": values.parse_area_sqft, "sq in": values.parse_area_sqin}[unit]
    write = partial(_exact, unit=unit)
    return Kind("an area", Fraction, parse, write, example, above_zero=above_zero)


Feet = Annotated[Fraction, _length("ft", "40 ft")]
SomeFeet = Annotated[Fraction, _length("ft", "40 ft", above_zero=True)]
Inches = Annotated[Fraction, _length("in", "12 in")]
SomeInches = Annotated[Fraction, _length("in", "12 in", above_zero=True)]
SquareFeet = Annotated[Fraction, _area("sq ft", "1,240 sq ft")]
SomeSquareFeet = Annotated[Fraction, _area("sq ft", "1,240 sq ft", above_zero=True)]
SomeSquareInches = Annotated[Fraction, _area("sq in", "18 sq in", above_zero=True)]
Number = Annotated[Fraction, Kind("a number", Fraction, values.parse_number, str, "12")]
Years = Annotated[
    Fraction, Kind("a number", Fraction, values.parse_number, str, "12", most=MOST_YEARS)
]


def _counted(most: int, *, above_zero: bool = False) -> Kind:
    parse = values.parse_count
    return Kind("a whole number", int, parse, str, "12", above_zero=above_zero, most=most)


Count = Annotated[int, _counted(MOST_COUNT)]
SomeCount = Annotated[int, _counted(MOST_COUNT, above_zero=True)]
DayCount = Annotated[int, _counted(MOST_DAYS)]
YearCount = Annotated[int, _counted(MOST_YEARS)]
WindSpeed = Annotated[int, _counted(MOST_WIND_MPH, above_zero=True)]
Temperature = Annotated[
    Fraction,
    Kind(
        "a temperature",
        Fraction,
        values.parse_temperature_f,
        lambda v: f"{_decimal(v)} F",
        "41 F",
    ),
]
Share = Annotated[
    Fraction, Kind("a percentage", Fraction, values.parse_share, lambda v: f"{v * 100} %", "15 %")
]
Money = Annotated[Decimal, Kind("an amount", Decimal, values.parse_money, _write_money, "1,240.50")]
Day = Annotated[date, Kind("a date", date, values.parse_date, date.isoformat, "2026-09-14")]
WorkDays = Annotated[
    values.Days,
    Kind("a day or days", values.Days, values.Days.parse, str, "2026-09-14 to 2026-09-15"),
]
YesNo = Annotated[
    bool,
    Kind("yes or no", bool, values.parse_yes_no, lambda v: "yes" if v else "no", "yes"),
]
RoofPitch = Annotated[
    values.Pitch,
    Kind(
        "a pitch",
        values.Pitch,
        values.Pitch.parse,
        lambda v: f"{_decimal(v.rise_in_12)}:12",
        "6:12",
    ),
]
MapPlace = Annotated[
    values.Place, Kind("a place", values.Place, values.Place.parse, _write_place, "47.7, -87.1")
]
Gtin = Annotated[
    str,
    Kind(
        "a number under a bar code (GTIN)",
        str,
        values.parse_gtin,
        str,
        "9521234543213",
        splits=True,
    ),
]
FileInJob = Annotated[str, Kind("a file", str, _parse_file, str, "papers/permit.pdf")]

PhaseWord = Annotated[words.Phase, _word_kind(words.Phase)]
RoleWord = Annotated[words.Role, _word_kind(words.Role)]
OldCoveringWord = Annotated[words.OldCovering, _word_kind(words.OldCovering)]
OldStateWord = Annotated[words.OldState, _word_kind(words.OldState)]
OnTheRoofWord = Annotated[words.OnTheRoof, _word_kind(words.OnTheRoof)]
PaperKindWord = Annotated[words.PaperKind, _word_kind(words.PaperKind)]
OwnerKindWord = Annotated[words.OwnerKind, _word_kind(words.OwnerKind)]
ScopeWord = Annotated[words.Scope, _word_kind(words.Scope)]
DeckKindWord = Annotated[words.DeckKind, _word_kind(words.DeckKind)]
RedeckedWord = Annotated[words.Redecked, _word_kind(words.Redecked)]
RepairKindWord = Annotated[words.RepairKind, _word_kind(words.RepairKind)]
SourceWord = Annotated[words.Source, _word_kind(words.Source)]
EdgeKindWord = Annotated[words.EdgeKind, _word_kind(words.EdgeKind)]
WallDatumWord = Annotated[words.WallDatum, _word_kind(words.WallDatum)]
HeatedBelowWord = Annotated[words.HeatedBelow, _word_kind(words.HeatedBelow)]
ExposureWord = Annotated[words.Exposure, _word_kind(words.Exposure)]
VapourRetarderWord = Annotated[words.VapourRetarder, _word_kind(words.VapourRetarder)]
AtticKindWord = Annotated[words.AtticKind, _word_kind(words.AtticKind)]
ValleyMethodWord = Annotated[words.ValleyMethod, _word_kind(words.ValleyMethod)]
FlashingStateWord = Annotated[words.FlashingState, _word_kind(words.FlashingState)]
InspectionResultWord = Annotated[words.InspectionResult, _word_kind(words.InspectionResult)]
WaiverKindWord = Annotated[words.WaiverKind, _word_kind(words.WaiverKind)]
PermitClosingWord = Annotated[words.PermitClosing, _word_kind(words.PermitClosing)]
StartEventWord = Annotated[words.StartEvent, _word_kind(words.StartEvent)]
MetByWord = Annotated[words.MetBy, _word_kind(words.MetBy)]
ClaimNeedWord = Annotated[words.ClaimNeed, _word_kind(words.ClaimNeed)]
CoveragePartWord = Annotated[words.CoveragePart, _word_kind(words.CoveragePart)]
ProrationWord = Annotated[words.Proration, _word_kind(words.Proration)]
MonthRoundingWord = Annotated[words.MonthRounding, _word_kind(words.MonthRounding)]
CapWord = Annotated[words.Cap, _word_kind(words.Cap)]
CodeEditionWord = Annotated[words.CodeEdition, _word_kind(words.CodeEdition)]
EntryKindWord = Annotated[words.EntryKind, _word_kind(words.EntryKind)]
PaperSizeWord = Annotated[words.PaperSize, _word_kind(words.PaperSize)]
