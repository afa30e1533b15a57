"""What every printed document shares: its look, its head, its pictures, and how figures are written.

In: a case, or the company where there is none. Out: small frozen values of ready-to-print strings.
Must not know which document prints them, and must not write HTML. `case` is already filtered for its
reader, so a blank here may be blank on record or kept from that reader.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from dossier.case.case import Case
from dossier.punchlist import Item
from dossier.record.job import JobHead
from dossier.record.signed import Signed
from dossier.said import File, Said, is_own_words
from dossier.terms.office import Company
from dossier.terms.sheet import Contact, TermsSheet
from dossier.values import Run, clip, write_area, write_date, write_feet, write_number, write_share
from dossier.words import Edition, PaperSize


class Blank(str):
    """What is printed where the record is blank, told apart from words by its kind."""


NOT_ON_RECORD = Blank("not on record")
NOT_CONFIRMED = "taken over from another job, not confirmed on this roof"
NOT_SHOWN = "not shown in this document"

_M_PER_FT = Fraction(3048, 10000)
_KM_PER_MILE = Fraction(1609344, 1000000)
"""Exact since 1959. Source: NIST Special Publication 811, appendix B."""

_WHITE, _TINT = (255, 255, 255), (244, 242, 237)
_LEAST_CONTRAST = 4.5
"""Source: WCAG 2.2, success criterion 1.4.3, text of ordinary size."""

_RUNNING_HEAD_LETTERS, _HEADLINE_LETTERS = 60, 160


@dataclass(frozen=True)
class Look:
    """The two printed colours, dark enough to read, and the paper as CSS names it: Letter or A4."""

    main: str
    accent: str
    paper: str


@dataclass(frozen=True)
class PictureWanted:
    """One picture a document prints as `asset:NAME`.

    file: within the job folder, or within the office folder where from_office. width_mm: as printed,
    above zero; the caller reduces the picture to it.
    """

    name: str
    file: str
    width_mm: int
    from_office: bool = False


@dataclass(frozen=True)
class Head:
    """What stands in the running head and foot. logo: the picture's name, empty for none."""

    company: str
    job: str
    edition: str
    printed: str
    logo: str


@dataclass(frozen=True)
class Ref:
    """The number of a statement in the index, with its backing; backing: empty for what was worked out."""

    number: str
    backing: str


class Label(StrEnum):
    """Labels by which a page finds what another document says: told apart as values, printed as words."""

    PASSES_ON = "Passes on"
    GIVEN_BY = "Who gives the notice"
    NOTICE_HOLDS = "Notice must hold"
    SEND_TO = "Send the notice to"
    NOT_A_SALE = "Not a sale"
    COST = "Cost"
    WARRANTY = "Warranty"
    OWN_RUNS_TO = "Company’s own coverage runs to"
    MAKERS_COVERAGE = "Maker’s coverage"
    AT_A_SALE = "At a sale"
    IF_DAMAGED = "If damage is found"
    AFTER_SALE = "After this sale"
    CLOSING = "Day of the closing"


@dataclass(frozen=True)
class Pair:
    """A label and what is said about it. refs: the numbers of what is stated, where the document has an index."""

    label: str
    text: str
    refs: tuple[Ref, ...] = ()

    @property
    def is_blank(self) -> bool:
        """Return whether all that is said is that nothing is on record."""
        return isinstance(self.text, Blank)


def look_of(company: Company) -> Look:
    """Return the company's look; a colour too light to read is darkened until it can be read."""
    paper = "A4" if company.paper is PaperSize.A4 else "Letter"
    return Look(readable(company.colours.main), readable(company.colours.accent), paper)


PLAIN_LOOK = Look("#1F3A4D", "#8A4B2A", "Letter")
"""The look where the company's own file could not be read."""


def readable(colour: str) -> str:
    """Return the colour, darkened by steps until text in it is legible on the tinted ground.

    colour: as #RRGGBB. The result keeps a contrast of 4.5 to 1 or more (WCAG 2.2, 1.4.3).
    """
    channels = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    for step in range(20, -1, -1):
        darker = (channels[0] * step // 20, channels[1] * step // 20, channels[2] * step // 20)
        if contrast(darker, _TINT) >= _LEAST_CONTRAST:
            return "#{:02X}{:02X}{:02X}".format(*darker)
    return "#000000"


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    """Return the contrast ratio of two sRGB colours, 1 to 21. Source: WCAG 2.2, glossary."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: tuple[int, int, int]) -> float:
    parts = [channel / 255 for channel in colour]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def head_of(case: Case, edition: str, run: Run) -> Head:
    """Return the running head of a document of this job. Long names are clipped, for room."""
    return Head(
        company=clip(case.company.name, _RUNNING_HEAD_LETTERS),
        job=clip(case.job.job.number, _RUNNING_HEAD_LETTERS),
        edition=edition,
        printed=write_date(run.today),
        logo="logo" if case.company.logo else "",
    )


def headline(text: str) -> str:
    """Return a text for the largest heading; a longer one stands in full elsewhere in the document."""
    return clip(text, _HEADLINE_LETTERS)


def logo_wanted(company: Company) -> tuple[PictureWanted, ...]:
    """Return the company's mark as a picture wanted, or nothing where it has none."""
    if not company.logo:
        return ()
    return (PictureWanted("logo", company.logo, 46, from_office=True),)


def edition_of(case: Case, edition: Edition | None) -> Edition:
    """Return the edition, seen from the case where nobody says: a resale copy names no owner."""
    if edition is not None:
        return edition
    owners = case.job.owners
    nameless = bool(owners) and all(owner.name is None for owner in owners)
    return Edition.RESALE if nameless else Edition.HOMEOWNER


def day(when: date | None, missing: str = NOT_ON_RECORD) -> str:
    """Return the day as printed, or the words for a blank."""
    return missing if when is None else write_date(when)


def days(first: date, last: date) -> str:
    """Return a first and a last day as printed; one day where both are the same."""
    if first == last:
        return write_date(first)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {write_date(last)}"
    return f"{write_date(first)} to {write_date(last)}"


def said(text: str | None, missing: str = NOT_ON_RECORD) -> str:
    """Return the text, or the words for a blank."""
    return missing if text is None or not text.strip() else text


def blank(case: Case, path: str) -> str:
    """Return the words for a field that is read as a blank: whether another job's value stands there."""
    return NOT_CONFIRMED if case.lines.from_another(path) else NOT_ON_RECORD


def sentence(text: str) -> str:
    """Return the text with a capital at its start and a full stop at its end."""
    text = text.strip()
    if not text:
        return ""
    text = text[0].upper() + text[1:]
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."


def capital(text: str) -> str:
    """Return the text with a capital at its start, the rest as it is."""
    return text[:1].upper() + text[1:]


def area(sqft: Fraction | None) -> str:
    """Return an area in square feet, with square metres in brackets."""
    if sqft is None:
        return NOT_ON_RECORD
    return f"{write_area(sqft)} ({write_number(sqft * _M_PER_FT**2, 1)} m²)"


def feet(length_ft: Fraction | None) -> str:
    """Return a length in feet, with metres in brackets."""
    if length_ft is None:
        return NOT_ON_RECORD
    return f"{write_feet(length_ft)} ({write_number(length_ft * _M_PER_FT, 1)} m)"


def miles_per_hour(speed_mph: int) -> str:
    """Return a speed in miles an hour, with kilometres an hour in brackets."""
    return f"{speed_mph} mph ({write_number(speed_mph * _KM_PER_MILE, 0)} km/h)"


def years(number: Fraction) -> str:
    """Return a number of years with its word."""
    return f"{write_number(number, 2)} {'year' if number == 1 else 'years'}"


def share_words(share: Fraction) -> str:
    """Return a share as a percentage whose sign never stands alone on the next line."""
    return write_share(share).replace(" ", "\u00a0")


def signed(one: Signed | None) -> str:
    """Return who saw or signed something and when, with the note that was left."""
    if one is None or not (one.by or one.on):
        return NOT_ON_RECORD
    who = one.by or "a person whose name is not on record"
    when = f", {write_date(one.on)}" if one.on else ", day not on record"
    return f"{who}{when}{f' ({one.note})' if one.note else ''}"


def contact_lines(contact: Contact | None) -> tuple[str, ...]:
    """Return how to reach somebody, a line each; empty lines left out."""
    if contact is None:
        return ()
    found = (contact.name, contact.address, contact.phone, contact.email)
    return tuple(line for line in found if line.strip())


def desk_for_sales(sheet: TermsSheet) -> tuple[str, ...]:
    """Return where a maker is told of a sale: a sheet has no desk for that, and the one for owners is nearest."""
    return contact_lines(sheet.claims_desk) or contact_lines(sheet.registration_desk)


def in_clause(number: str) -> str:
    """Return the number of a clause to stand behind what it says; empty where the sheet names none."""
    return f" (clause {number})" if number else ""


def company_lines(company: Company) -> tuple[str, ...]:
    """Return how to reach the company, a line each."""
    found = (company.name, company.address, company.phone, company.email)
    return tuple(line for line in found if line.strip())


def removed(head: JobHead) -> str:
    """Return what came off the roof, in plain words."""
    if head.scope is None:
        return "how much of the old roof came off is not on record"
    text = str(head.scope.value)
    if head.layers_removed is not None:
        text += (
            f", {head.layers_removed} {'layer' if head.layers_removed == 1 else 'layers'} removed"
        )
    return text


def withheld_files(case: Case, files: Iterable[str]) -> tuple[str, ...]:
    """Return the papers measured in the job folder that this reader's case does not list."""
    shown = {paper.file for paper in case.papers}
    return tuple(sorted(file for file in files if file not in shown))


def plain_item(item: Item, withheld: Iterable[str]) -> Said:
    """Return an item's sentence for an outside reader; a paper kept back is not named.

    withheld: the files that this reader may not see.
    """
    kept = tuple(withheld)
    for one in item.outside.leaves:
        if isinstance(one, File) or is_own_words(one):
            words = str(one)
            if any(file in words for file in kept):
                return Said("A paper that is kept at the office has a fault of its own.")
    return item.outside
