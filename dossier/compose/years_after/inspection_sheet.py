"""The inspection sheet of a claim: cautions first, then blank fields in the fixed order of places to look.

In: a case filtered for its reader, what was worked out of the claim, run. Out: one or two pages of plain
strings. Must not send anybody up, nor hint at what will be found: every field is blank.
"""

from dataclasses import dataclass

from dossier.case.case import Case
from dossier.compose.parts.shared import (
    Head,
    Pair,
    PictureWanted,
    day,
    head_of,
    headline,
    logo_wanted,
    said,
)
from dossier.compose.years_after import claim_words
from dossier.compose.years_after.claim_answer import NO_NUMBER, Claimed, place_words
from dossier.values import Run, clip, write_date

_FIELDS = (
    "Looked at by, licence number",
    "Day and hour",
    "Weather now, and on the days before",
    "Air temperature, indoors and outdoors",
    "From where: ground, lift, ladder, attic, roof",
    "When the water comes: rain, wind from where, thaw, cold dry days",
)


@dataclass(frozen=True)
class BlankRow:
    """One place to look, with room to write."""

    number: str
    title: str
    on_site: str


@dataclass(frozen=True)
class InspectionSheet:
    """The inspection sheet, page by page."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    address: str
    reported: tuple[Pair, ...]
    cautions: tuple[Pair, ...]
    fields: tuple[str, ...]
    rows: tuple[BlankRow, ...]
    digest: str


def inspection_sheet(case: Case, claimed: Claimed, run: Run) -> InspectionSheet:
    """Return the inspection sheet of one claim. case: filtered for the homeowner or the resale reader."""
    claim = claimed.claim
    built = case.job.building.year_built if case.job.building else None
    return InspectionSheet(
        template="inspection-sheet.html",
        title=f"Inspection sheet, {clip(case.job.job.address, 120)}",
        head=head_of(case, "inspection sheet", run),
        pictures=logo_wanted(case.company),
        address=headline(case.job.job.address),
        reported=(
            Pair("Claim", f"{claim.number or NO_NUMBER}, {write_date(claimed.entry.on)}"),
            Pair("What was seen", f"{said(claim.seen)}; first seen {day(claim.seen_on)}"),
            Pair("Where, as reported", place_words(claimed.place.asked)),
        ),
        cautions=(*claim_words.CAUTIONS, claim_words.old_paint_caution(built)),
        fields=_FIELDS,
        rows=tuple(
            BlankRow(
                str(number), claim_words.SPOT_TITLES[look.spot], claim_words.ON_SITE[look.spot]
            )
            for number, look in enumerate(claimed.looks, start=1)
        ),
        digest=claimed.digest,
    )
