"""A maker's printed terms, typed in as data, and the catalogue of its products.

In: nodes by way of `reading`. Out: `TermsSheet` and `Catalogue`. Must not know any job. The printed
document decides; this sheet only repeats what it says, clause by clause, so that sums can be done.
"""

from typing import Self

from pydantic import model_validator

from dossier.reading.kinds import (
    ClaimNeedWord,
    Day,
    DayCount,
    Gtin,
    Line,
    MetByWord,
    Name,
    RoleWord,
    SomeCount,
    SomeFeet,
    SomeInches,
    SomeSquareFeet,
    SomeSquareInches,
    StartEventWord,
    Temperature,
    YesNo,
)
from dossier.reading.model import AtFieldError, Model, told
from dossier.terms.conditions import Condition
from dossier.terms.coverage import Coverage
from dossier.values import clip, listed
from dossier.words import MetBy


class Contact(Model):
    """How to reach somebody."""

    name: Line = told("Name or department.", example="Claims desk", default="")
    address: Line = told("Postal address.", example="PO Box 90, Tarnby", default="")
    phone: Line = told("Telephone.", example="555-0190", default="")
    email: Line = told("E-mail.", example="claims@example.com", default="")


class Registration(Model):
    """How a level is registered."""

    clause: Line = told("Clause in the printed document.", example="4.1", default="")
    within_days: DayCount = told("Days to register.", example="60", unit="days", default=...)
    counted_from: StartEventWord = told(
        "The event from which those days count.", example="completion signed", default=...
    )
    met_by: MetByWord = told("What meets it.", example="received", default=MetBy.RECEIVED)
    order_before_start: YesNo = told(
        "Whether the level must be ordered before work starts.", example="no", default=False
    )


class Level(Model):
    """One warranty level."""

    level: Line = told("Its name.", example="Assembly", default=...)
    summary: Line = told("What it is, in one plain sentence.", default="")
    registration: Registration | None = told("How it is registered; blank where it need not be.")
    conditions: tuple[Condition, ...] = told("Its conditions, in the printed order.", default=())
    coverage: Coverage = told("What it covers.", default=...)
    unregistered_falls_to: Line | None = told(
        "The level that holds where this one was not registered.", example="Shingle"
    )


class EndsCoverage(Model):
    """Something that by its own terms ends coverage."""

    clause: Line = told("Clause in the printed document.", example="6.2", default="")
    says: Line = told("What ends it.", example="Holes cut by other trades.", default=...)


class ClaimNotice(Model):
    """How a claim is made."""

    clause: Line = told("Clause in the printed document.", example="7.1", default="")
    within_days: DayCount | None = told("Days to give notice.", example="30", unit="days")
    counted_from: StartEventWord | None = told("The event.", example="discovery")
    met_by: MetByWord | None = told(
        "What meets the deadline; blank where the document does not say.", example="received"
    )
    asks_for: Line = told(
        "What the claims desk asks for, as printed.",
        example="proof of purchase, photos and a sample",
        default="",
    )
    needs: tuple[ClaimNeedWord, ...] = told(
        "The same, in words from the list, so that a letter can say what is enclosed.", default=()
    )


class TermsSheet(Model):
    """One edition of one maker's warranty terms."""

    maker: Line = told("The maker.", example="Kestrelmoor", default=...)
    title: Line = told("Title printed on the document.", default=...)
    document: Line = told("Number printed on the document.", example="KM-W-26", default="")
    edition: Line = told("Edition.", example="2026", default=...)
    valid_from: Day = told(
        "First day it holds for.", example="2026-01-01", unit="date", default=...
    )
    valid_to: Day | None = told("Last day it holds for.", example="2026-12-31", unit="date")
    valid_by: StartEventWord | None = told(
        "The event that decides which edition holds.", example="contract"
    )
    registration_desk: Contact | None = told("Where registrations go.")
    claims_desk: Contact | None = told("Where claims go.")
    form_order: tuple[Name, ...] = told("The fields of the maker's form, in its order.", default=())
    cut_from_shingles: tuple[RoleWord, ...] = told(
        "Roles that the document lets be cut from the maker's own field shingles; none where blank.",
        example="hip and ridge",
        default=(),
    )
    levels: tuple[Level, ...] = told("The levels, lowest first.", default=...)
    ends_coverage: tuple[EndsCoverage, ...] = told("What ends coverage.", default=())
    claim: ClaimNotice | None = told("How a claim is made.")

    @model_validator(mode="after")
    def _levels_fit(self) -> Self:
        names = [level.level for level in self.levels]
        for number, level in enumerate(self.levels):
            at = ("levels", str(number))
            if level.level.lower() in (name.lower() for name in names[:number]):
                raise AtFieldError(
                    (*at, "level"),
                    f"found “{clip(level.level)}” a second time, needed a name of its own for each level",
                )
            falls_to = level.unregistered_falls_to
            if falls_to is None:
                continue
            others = [name for name in names if name != level.level]
            if falls_to.lower() not in (name.lower() for name in others):
                needed = listed(others, "or") or "the line left out, since there is no other level"
                raise AtFieldError(
                    (*at, "unregistered_falls_to"), f"found “{clip(falls_to)}”, needed {needed}"
                )
        return self

    def level(self, name: str) -> Level | None:
        """Return the level of that name, or None."""
        return next((lv for lv in self.levels if lv.level.lower() == name.lower()), None)


class Instructions(Model):
    """The maker's printed application instructions in force."""

    number: Line = told("Number.", example="KM-I-112", default="")
    on: Day | None = told("Its date.", example="2026-01-01", unit="date")
    file: Line = told("File in the office folder.", example="terms/km-i-112.pdf", default="")


class Product(Model):
    """One product."""

    product: Line = told("Name on the wrapper.", example="Fenwright 40", default=...)
    role: RoleWord = told("What it is for.", example="field shingle", default=...)
    maker: Line | None = told("Its maker, if not the catalogue's.", example="Eavewright")
    unit: Line = told("Unit sold.", example="bundle", default=...)
    covers_sqft: SomeSquareFeet | None = told(
        "Area one unit covers, as printed.", example="33.3 sq ft", unit="sq ft"
    )
    covers_ft: SomeFeet | None = told("Length one unit covers.", example="105 ft", unit="ft")
    net_free_area_sqin: SomeSquareInches | None = told(
        "Net free area of each foot, or each piece.", example="18 sq in", unit="sq in"
    )
    net_free_area_per_foot: YesNo = told(
        "Whether that area is for each foot.", example="yes", default=True
    )
    roll_width_in: SomeInches | None = told("Width of a roll.", example="36 in", unit="in")
    thickness_in: SomeInches | None = told("Thickness.", example="7/16 in", unit="in")
    length_in: SomeInches | None = told("Length of a fastener.", example="1 1/4 in", unit="in")
    shank_in: SomeInches | None = told(
        "Thickness of a fastener's shank.", example="0.120 in", unit="in"
    )
    head_in: SomeInches | None = told("Width of a fastener's head.", example="3/8 in", unit="in")
    span_rating: Line | None = told("Span rating.", example="24/16")
    shingles_per_square: SomeCount | None = told("Shingles a square.", example="66")
    pieces_per_unit: SomeCount | None = told("Fasteners a box.", example="7200")
    standard: Line | None = told("Standard on the label.", example="ASTM D3462")
    wind_class: Line | None = told("Wind classes on the label.", example="D7158 H, D3161 F")
    self_sealing: YesNo | None = told(
        "Whether the shingle seals itself by a strip; one that interlocks, or that its own stiffness holds, "
        "does not.",
        example="yes",
    )
    colours: tuple[Name, ...] = told("Colours sold.", default=())
    gtins: tuple[Gtin, ...] = told(
        "Numbers under the bar codes on its wrappers (GTIN), of every colour; by them a mark in a photo is known.",
        example="9521234543213",
        default=(),
    )
    carries_lot: YesNo = told("Whether each unit carries a lot.", example="yes", default=False)
    lowest_air_f: Temperature | None = told(
        "Air temperature below which the instructions ask for more.", example="40 F", unit="°F"
    )
    instructions: Instructions | None = told("Its application instructions.")


class Catalogue(Model):
    """The products of one maker, or of several."""

    maker: Line = told("The maker.", example="Kestrelmoor", default=...)
    edition: Line = told("Edition.", example="2026", default=...)
    valid_from: Day | None = told("First day it holds for.", example="2026-01-01", unit="date")
    products: tuple[Product, ...] = told("The products.", default=...)
