"""Text into exact values, and back: dates, lengths, areas, counts, money, pitch; and the `Run`.

In: text as a person typed it. Out: `Fraction`, `Decimal`, `date` and a few small frozen classes, and
one way of writing each. Must not know which field of which record a text came from. Every parser raises
`ValueError` with the second half of a sentence: what was found, what was needed.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta, tzinfo
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from pathlib import Path

MM_PER_INCH = Fraction(254, 10)
"""Millimetres in an inch, exact since 1959 (NIST Special Publication 811, appendix B)."""

MOST_DIGITS = 60
"""Characters in one number: no figure on a roof is longer, and nothing later overflows on it."""

FIRST_YEAR, LAST_YEAR = 1900, 2199
"""Years in which a roof that anybody asks about can stand; outside them a date is a slip."""

_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)

_NUMBER = r"(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?|\.\d+"
_MIXED = re.compile(
    rf"^(?:(?P<whole>\d+)[ -])?(?P<top>\d+)/(?P<bottom>\d+)$|^(?P<plain>{_NUMBER})$"
)
_WITH_UNIT = re.compile(
    r"^(?P<number>[\d.,/ \-]*[\d.])\s*(?P<unit>[^\d\s.,](?:[^\d]*|[A-Za-z]*2))?$"
)
_FEET_INCHES = re.compile(
    r"^(?P<feet>\d[\d.,]*)\s*(?:'|ft\.?|feet|foot)\s*-?\s*"
    r"(?:(?P<inches>[\d./ -]*[\d.])\s*(?:\"|''|in\.?|inch|inches))?$"
)

_PLACE = r"^([-−]?\d{1,3}(?:\.\d{1,20})?)\s*,\s*([-−]?\d{1,3}(?:\.\d{1,20})?)$"

_INCHES_PER: dict[str, Fraction] = {
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "''"), Fraction(1)),
    **dict.fromkeys(("ft", "ft.", "foot", "feet", "'", "lf", "lin ft"), Fraction(12)),
    **dict.fromkeys(("mm",), 1 / MM_PER_INCH),
    **dict.fromkeys(("cm",), 10 / MM_PER_INCH),
    **dict.fromkeys(("m",), 1000 / MM_PER_INCH),
}
_SQFT_PER: dict[str, Fraction] = {
    **dict.fromkeys(("sq ft", "sqft", "sf", "ft2", "ft²", "square feet"), Fraction(1)),
    **dict.fromkeys(("sq", "square", "squares"), Fraction(100)),
    **dict.fromkeys(("sq in", "sqin", "in2", "in²", "square inches"), Fraction(1, 144)),
    **dict.fromkeys(("sq m", "m2", "m²", "square metres"), (1000 / MM_PER_INCH / 12) ** 2),
}


def parse_number(text: str) -> Fraction:
    """Return the exact number in `text`: 12, 1,240.5, 5/8, 1 1/2 or 1-1/2. Never below zero."""
    if len(text) > MOST_DIGITS:
        raise ValueError(
            f"found “{clip(text)}”, needed a number of at most {MOST_DIGITS} characters"
        )
    match = _MIXED.match(text.strip())
    if not match:
        raise ValueError(
            f"found “{clip(text)}”, needed a number, not below zero, such as 12 or 5/8"
        )
    if match["plain"]:
        return Fraction(match["plain"].replace(",", ""))
    if int(match["bottom"]) == 0:
        raise ValueError(f"found “{clip(text)}”, needed a fraction whose lower part is not zero")
    return int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))


def parse_count(text: str) -> int:
    """Return the whole number in `text`, zero or more."""
    number = parse_number(text)
    if number.denominator != 1:
        raise ValueError(f"found “{clip(text)}”, needed a whole number")
    return int(number)


def parse_gtin(text: str) -> str:
    """Return a trade item's number as 14 digits; raises ValueError where its check digit does not fit.

    Spaces and dashes are passed over. Source: GS1 General Specifications, 3.3.2, from memory (14 digits, shorter
    numbers filled up with zeros in front) and 7.9.1 (check digit).
    """
    digits = re.sub(r"[\s-]", "", text)
    if not re.fullmatch(r"\d{8}|\d{12,14}", digits, re.ASCII):
        raise ValueError(
            f"found “{clip(text)}”, needed the 8, 12, 13 or 14 digits under a bar code"
        )
    weighed = sum(int(one) * (3, 1)[at % 2] for at, one in enumerate(reversed(digits[:-1])))
    if (weighed + int(digits[-1])) % 10:
        raise ValueError(
            f"found “{clip(text)}”, needed {digits[:-1]}{-weighed % 10} if the other digits are right: "
            "the last one is a check on them"
        )
    return digits.zfill(14)


def _in_unit(text: str, units: dict[str, Fraction], bare: Fraction, needed: str) -> Fraction:
    """Return the quantity in the base unit; a number without a unit counts as `bare`."""
    match = _WITH_UNIT.match(" ".join(text.split()))
    if not match:
        raise ValueError(f"found “{clip(text)}”, needed {needed}")
    unit = (match["unit"] or "").strip().lower()
    if unit and unit not in units:
        raise ValueError(f"found the unit “{clip(unit)}” in “{clip(text)}”, needed {needed}")
    return parse_number(match["number"]) * (units[unit] if unit else bare)


def _length_in(text: str, bare: Fraction, needed: str) -> Fraction:
    whole = _FEET_INCHES.match(" ".join(text.split()).lower())
    if whole:
        feet = parse_number(whole["feet"])
        return feet * 12 + (parse_number(whole["inches"]) if whole["inches"] else 0)
    return _in_unit(text, _INCHES_PER, bare, needed)


def parse_length_ft(text: str) -> Fraction:
    """Return a length in feet; a bare number is feet. Reads 40, 40 ft, 6'-3", 75 in, 12.2 m."""
    return _length_in(text, Fraction(12), "a length such as 40 ft, 6'-3\" or 12.2 m") / 12


def parse_length_in(text: str) -> Fraction:
    """Return a length in inches; a bare number is inches. Reads 12, 5/8 in, 1/2", 1 ft, 300 mm."""
    return _length_in(text, Fraction(1), "a length such as 12 in, 5/8 in, 1'-2\" or 300 mm")


def parse_area_sqft(text: str) -> Fraction:
    """Return an area in square feet; a bare number is square feet. Reads 1,240 sq ft, 18 sq."""
    return _in_unit(text, _SQFT_PER, Fraction(1), "an area such as 1,240 sq ft, 18 sq or 115 sq m")


def parse_area_sqin(text: str) -> Fraction:
    """Return an area in square inches; a bare number is square inches."""
    needed = "an area such as 18 sq in or 0.5 sq ft"
    return _in_unit(text, _SQFT_PER, Fraction(1, 144), needed) * 144


def parse_temperature_f(text: str) -> Fraction:
    """Return a temperature in degrees Fahrenheit; a bare number is Fahrenheit; may be below zero."""
    match = re.match(
        rf"^(?P<sign>[-−]?)(?P<number>{_NUMBER})\s*°?\s*(?P<unit>[FfCc]?)$", text.strip()
    )
    if not match:
        raise ValueError(f"found “{clip(text)}”, needed a temperature such as 41 F or 5 C")
    number = parse_number(match["number"]) * (-1 if match["sign"] else 1)
    return number * Fraction(9, 5) + 32 if match["unit"].upper() == "C" else number


def parse_share(text: str) -> Fraction:
    """Return a share between 0 and 1, written as a percentage: 15 % or 15 is 0.15."""
    number = parse_number(text.strip().removesuffix("%").strip())
    if number > 100:
        raise ValueError(f"found “{clip(text)}”, needed a percentage from 0 to 100")
    return number / 100


def parse_money(text: str) -> Decimal:
    """Return an amount in dollars and cents: 1,240.50, $96, -25.00. At most two decimals."""
    match = re.match(rf"^(?P<sign>[-−]?)\$?\s*(?P<number>{_NUMBER})$", text.strip())
    needed = "an amount such as 1,240.50"
    if not match:
        raise ValueError(f"found “{clip(text)}”, needed {needed}")
    try:
        amount = Decimal(match["number"].replace(",", ""))
    except InvalidOperation:
        raise ValueError(f"found “{clip(text)}”, needed {needed}") from None
    cents = amount.quantize(Decimal("0.01")) if amount < 10**12 else None
    if cents is None or cents != amount:
        raise ValueError(f"found “{clip(text)}”, needed {needed}, with at most two decimals")
    return -cents if match["sign"] else cents


def is_day_form(text: str) -> bool:
    """Return whether a text says how a day is written: YYYY, MM (or MMM, MMMM) and DD, each once, and no word."""
    parts = re.findall(r"Y+|M+|D+|[^\W_]", text)
    months = [part for part in parts if part in ("MM", "MMM", "MMMM")]
    return len(months) == 1 and sorted(parts) == sorted(["DD", *months, "YYYY"])


def parse_date(text: str) -> date:
    """Return the day written as YYYY-MM-DD, the only way read (ISO 8601-1:2019, extended form)."""
    match = re.match(r"^(\d{4})-(\d{2})-(\d{2})$", text.strip())
    if not match:
        raise ValueError(f"found “{clip(text)}”, needed a date written YYYY-MM-DD")
    year, month, day = (int(part) for part in match.groups())
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise ValueError(f"found “{clip(text)}”, needed a year from {FIRST_YEAR} to {LAST_YEAR}")
    try:
        return date(year, month, day)
    except ValueError:
        raise ValueError(f"found “{clip(text)}”, which no calendar has") from None


def parse_yes_no(text: str) -> bool:
    """Return whether the text says yes. Only yes and no are read, in any case."""
    answers = {"yes": True, "no": False}
    try:
        return answers[text.strip().lower()]
    except KeyError:
        raise ValueError(f"found “{clip(text)}”, needed yes or no") from None


@dataclass(frozen=True, order=True)
class Pitch:
    """A roof pitch: the rise in inches for each 12 in of run."""

    rise_in_12: Fraction

    @classmethod
    def parse(cls, text: str) -> "Pitch":
        """Return the pitch in text such as 6:12, 6/12 or 6 in 12; zero to 60 in 12."""
        match = re.match(rf"^({_NUMBER})\s*(?::|/|in|on)\s*12$", text.strip())
        if not match:
            raise ValueError(f"found “{clip(text)}”, needed a pitch such as 6:12")
        rise = parse_number(match[1])
        if rise > 60:
            raise ValueError(f"found “{clip(text)}”, needed a pitch no steeper than 60:12")
        return cls(rise)

    def __str__(self) -> str:
        return f"{write_number(self.rise_in_12, 2)}:12"


@dataclass(frozen=True)
class Days:
    """A first and a last day; one day when both are the same."""

    first: date
    last: date

    @classmethod
    def parse(cls, text: str) -> "Days":
        """Return the days in text such as 2026-05-12 or 2026-05-12 to 2026-05-14."""
        first, _, last = text.partition(" to ")
        days = cls(parse_date(first), parse_date(last or first))
        if days.last < days.first:
            raise ValueError(f"found “{clip(text)}”, where the last day is before the first")
        return days

    def __str__(self) -> str:
        if self.first == self.last:
            return self.first.isoformat()
        return f"{self.first.isoformat()} to {self.last.isoformat()}"


@dataclass(frozen=True)
class Place:
    """A point on the earth in decimal degrees, north and east positive (WGS 84)."""

    latitude_deg: Fraction
    longitude_deg: Fraction

    @classmethod
    def parse(cls, text: str) -> "Place":
        """Return the point in text such as 47.7000, -87.1000."""
        match = re.match(_PLACE, text.strip())
        if not match:
            raise ValueError(f"found “{clip(text)}”, needed a place such as 47.7000, -87.1000")
        latitude, longitude = (Fraction(part.replace("−", "-")) for part in match.groups())
        if abs(latitude) > 90 or abs(longitude) > 180:
            raise ValueError(f"found “{clip(text)}”, which is not on the earth")
        return cls(latitude, longitude)

    def __str__(self) -> str:
        return f"{float(self.latitude_deg):.4f}, {float(self.longitude_deg):.4f}"


def spelt(name: str) -> str:
    """Return a name as it is compared: without regard to case and spaces."""
    return " ".join(name.lower().split())


def clip(text: str, most: int = 60) -> str:
    """Return the text for a sentence: one line, at most `most` characters and an ellipsis."""
    line = " ".join(text.split())
    return line if len(line) <= most else line[:most] + "…"


def _scaled(number: Fraction | int | Decimal, decimals: int) -> int:
    """Return the number in units of its last place, halves away from zero, as an invoice rounds."""
    tenfold: int = 10**decimals
    exact = Fraction(number) * tenfold
    rounded = (2 * abs(exact.numerator) + exact.denominator) // (2 * exact.denominator)
    return -rounded if exact < 0 else rounded


def to_cents(amount: Fraction | Decimal) -> Decimal:
    """Return an amount of money to the cent."""
    return Decimal(_scaled(amount, 2)).scaleb(-2)


def write_number(number: Fraction | int | Decimal, decimals: int = 1) -> str:
    """Return the number rounded to at most `decimals` places, thousands parted by commas."""
    rounded = _scaled(number, decimals)
    whole, rest = divmod(abs(rounded), 10**decimals)
    fraction = f"{rest:0{decimals}d}".rstrip("0") if decimals else ""
    return f"{'-' if rounded < 0 else ''}{whole:,}" + (f".{fraction}" if fraction else "")


def write_coordinate(number: Fraction | int, decimals: int = 2) -> str:
    """Return a length or share of a drawing as SVG reads it: no commas, at most `decimals` places."""
    return write_number(number, decimals).replace(",", "")


def write_runs(numbers: Iterable[int], most: int | None = None) -> str:
    """Return whole numbers with runs of three or more joined: “1, 4 to 7 and 9”.

    most: single numbers and runs that are written; the rest are counted, as “1, 4 to 7 and 3 more”.
    """
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts: list[tuple[str, int]] = []
    for run in runs:
        if len(run) > 2:
            parts.append((f"{run[0]} to {run[-1]}", len(run)))
        else:
            parts += [(str(number), 1) for number in run]
    if most is not None and len(parts) > most and sum(n for _, n in parts[most:]) > 1:
        left = sum(count for _, count in parts[most:])
        parts = [*parts[:most], (f"{left} more", left)]
    return listed([text for text, _ in parts])


def write_inches(inches: Fraction) -> str:
    """Return inches as the trade writes them: sixteenths where they are exact, else two decimals."""
    if inches < 0:
        return f"-{write_inches(-inches)}"
    sixteenths = inches * 16
    if sixteenths.denominator != 1 or inches > 24:
        return f"{write_number(inches, 2)} in"
    whole, rest = divmod(int(sixteenths), 16)
    if not rest:
        return f"{whole} in"
    part = Fraction(rest, 16)
    text = f"{part.numerator}/{part.denominator}"
    return f"{whole} {text} in" if whole else f"{text} in"


def write_feet(feet: Fraction | int) -> str:
    """Return feet with at most two decimals."""
    return f"{write_number(feet, 2)} ft"


def write_area(sqft: Fraction) -> str:
    """Return square feet rounded to the whole foot."""
    return f"{write_number(sqft, 0)} sq ft"


def write_money(amount: Decimal) -> str:
    """Return an amount as $1,240.50."""
    cents = to_cents(amount)
    return f"-${-cents:,.2f}" if cents < 0 else f"${cents:,.2f}"


def write_share(share: Fraction | int, decimals: int = 1) -> str:
    """Return a share as a percentage with at most `decimals` places."""
    return f"{write_number(share * 100, decimals)} %"


def write_date(day: date) -> str:
    """Return the day as printed in documents: 14 September 2026."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


_GOODS = frozenset(
    (
        *("bundle", "roll", "piece", "sheet", "pack", "tube", "pail", "bag", "square", "carton"),
        *("coil", "can", "bucket", "pallet", "unit", "box"),
    )
)


def unit_behind(number: Fraction | int | Decimal, unit: str) -> str:
    """Return a unit that goods are counted in as it stands behind that number; any other as it is."""
    one, many = units_of(unit.lower())
    if one not in _GOODS:
        return unit
    return one if number == 1 else many


def plural(count: int, noun: str, many: str | None = None) -> str:
    """Return the count with its noun: 1 photo, 12 photos."""
    return f"{count:,} {noun if count == 1 else many or noun + 's'}"


def units_of(unit: str) -> tuple[str, str]:
    """Return a unit that goods are counted in, for one and for many: bundle, bundles; a measure has one form."""
    rest, space, last = unit.rpartition(" ")
    if last.lower() in _MEASURES:
        return unit, unit
    if last.lower() in ("foot", "feet"):
        return f"{rest}{space}foot", f"{rest}{space}feet"
    one = re.sub(r"(?<=[xs])es$|(?<=[cs]h)es$|(?<![s])s$", "", unit)
    return one, f"{one}es" if one.endswith(("x", "s", "ch", "sh")) else f"{one}s"


_MEASURES = frozenset(
    ["ft", "lf", "in", "sqft", "sf", "sq", "bf", "lb", "lbs", "oz", "pc", "pcs", "ea", "each"]
)


def unit_for(number: Fraction | int, unit: str | None) -> str:
    """Return a typed unit of goods as it stands behind that number; blank where there is none."""
    one, many = units_of(unit) if unit else ("", "")
    return one if number == 1 else many


def counted_from_one(path: str) -> str:
    """Return a dotted path as people count: slopes.0.area_sqft is slopes 1, area_sqft."""
    said = ""
    for part in path.split("."):
        if part.isdigit():
            said += f" {int(part) + 1}"
        else:
            said += f"{', ' if said[-1:].isdigit() else '.' if said else ''}{part}"
    return said


def listed(parts: list[str] | tuple[str, ...], joint: str = "and") -> str:
    """Return parts as a sentence lists them: a, b and c."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {joint} {parts[-1]}"


def days_between(earlier: date, later: date) -> int:
    """Return calendar days from one day to another; below zero when `later` comes first."""
    return (later - earlier) // timedelta(days=1)


Clock = Callable[[tzinfo], date]
"""Returns today in a time zone; the command line passes the one that reads the machine's clock."""

Progress = Callable[[str, int, int], None]
"""Called with what is being done, how many are done and how many there are.

None of none where nobody can count it; then with nothing said once it is over.
"""


def silent(what: str, done: int, of: int) -> None:
    """Show nothing: the progress of a run that is piped or tested."""


@dataclass(frozen=True)
class Run:
    """What is true of one run and of no job: the day, the zone, the tool, the folders.

    today: the day every deadline is counted from. version: of the tool. work_folder: cache, lock and
    temporary files. fresh: whether nothing kept from earlier runs is to be used. places: of a sealed job, where
    the files lie that came after close-out, by their names in the record. Passed down; nothing
    below the command line reads a clock or the environment.
    """

    today: date
    time_zone: tzinfo
    version: str
    job_folder: Path
    office_folder: Path
    out_folder: Path
    work_folder: Path
    progress: Progress = silent
    fresh: bool = False
    places: Mapping[str, Path] = field(default_factory=dict)

    def place(self, file: str) -> Path:
        """Return where a file of the job lies: in its folder, or where it came later."""
        return self.places.get(file, self.job_folder / file)
