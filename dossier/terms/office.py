"""The permit office's rules and the company, as data.

In: nodes by way of `reading`. Out: `Locality` and `Company`. Must not know any job.
"""

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import field_validator

from dossier.reading.kinds import (
    CodeEditionWord,
    Day,
    DayCount,
    ExposureWord,
    Inches,
    Line,
    Name,
    Number,
    PaperSizeWord,
    PermitClosingWord,
    WallDatumWord,
    WindSpeed,
    YesNo,
)
from dossier.reading.model import Model, told
from dossier.terms.coverage import Coverage
from dossier.terms.sheet import Contact
from dossier.values import clip
from dossier.words import Exposure, PaperSize, PermitClosing, WallDatum


class LocalChange(Model):
    """One local change of the model code."""

    says: Line = told(
        "What is changed.", example="Ice barrier on all slopes below 4:12.", default=...
    )
    source: Line = told(
        "Where that is printed.", example="County ordinance 12-4, section 3", default=...
    )


class IceBarrierRule(Model):
    """The locality's rule for the ice barrier."""

    required: YesNo = told("Whether the climate table asks for one.", example="yes", default=...)
    datum: WallDatumWord = told(
        "The face of the exterior wall it is measured from.",
        example="outside face",
        default=WallDatum.OUTSIDE_FACE,
    )
    up_slope_in: Inches | None = told(
        "Local alternative: least reach up the slope.", example="30 in", unit="in"
    )
    beyond_inner_face_in: Inches | None = told(
        "Local alternative: reach up the slope beyond the inner face.", example="12 in", unit="in"
    )
    whole_slope_below_4_in_12: YesNo = told(
        "Whether slopes below 4:12 are covered whole.", example="no", default=False
    )
    source: Line = told("Where that is printed.", example="IRC 2021 R905.1.2", default=...)


class Locality(Model):
    """One permit office's rules, in one edition."""

    name: Line = told("The place.", example="Vintermark County", default=...)
    edition: Line = told("Edition of this sheet.", example="2026", default=...)
    valid_from: Day = told(
        "First day it holds for.", example="2026-01-01", unit="date", default=...
    )
    time_zone: Line = told("Time zone, by its IANA name.", example="America/New_York", default=...)
    code: CodeEditionWord = told("Adopted edition of the code.", example="IRC 2021", default=...)
    permit_office: Contact = told("The permit office.", default=...)
    permit_needed: YesNo = told("Whether a re-roof needs a permit.", example="yes", default=True)
    inspections: tuple[Name, ...] = told("Inspections it asks for.", default=())
    closing: PermitClosingWord = told(
        "How a re-roof permit closes.", example="inspection", default=PermitClosing.INSPECTION
    )
    lapses_after_days: DayCount = told(
        "Days without work after which a permit lapses.", example="180", unit="days", default=180
    )
    ice_barrier: IceBarrierRule = told("The ice barrier.", default=...)
    design_wind_mph: WindSpeed | None = told(
        "Ultimate design wind speed.", example="115", unit="mph"
    )
    wind_design_required: YesNo | None = told(
        "Whether Figure R301.2.1.1 asks for wind design here (IRC 2021 on); by the wind speed where blank.",
        example="no",
    )
    roof_load_psf: Number | None = told(
        "Roof live load or snow load that panels are chosen by.", example="30", unit="psf"
    )
    exposure: ExposureWord = told("Usual exposure.", example="B", default=Exposure.B)
    climate_zone: Line | None = told("Climate zone.", example="6")
    vents_hold_permit: Line | None = told(
        "Source line, where attic vents hold a re-roof permit here.",
        example="County ordinance 12-4, section 5",
    )
    deck_spans_hold_permit: Line | None = told(
        "Source line, where deck spans hold a re-roof permit here.",
        example="County ordinance 12-4, section 6",
    )
    changes: tuple[LocalChange, ...] = told("Local changes.", default=())

    @field_validator("time_zone")
    @classmethod
    def _is_a_zone(cls, name: str) -> str:
        try:
            ZoneInfo(name)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise ValueError(f"found “{clip(name)}”, needed a time zone by its IANA name") from None
        return name


class Crew(Model):
    """One crew."""

    name: Line = told("Its name.", example="north", default=...)
    lead: Line = told("Who leads it.", example="Jens Aberg", default=...)
    supervisor: Line | None = told("Who supervises it.", example="Ida Torvik")
    company: Line | None = told("Its company, where it is a sub-crew.", example="Aberg Crew LLC")
    members: tuple[Name, ...] = told("Others who work in it and may look at a phase.", default=())


class Certification(Model):
    """One certification by a maker."""

    maker: Line = told("The maker.", example="Kestrelmoor", default=...)
    level: Line = told("Its level.", example="Assembly Installer", default=...)
    number: Line | None = told("Its number.", example="KM-20417")
    valid_from: Day = told("First day.", example="2026-01-01", unit="date", default=...)
    valid_to: Day = told("Last day.", example="2026-12-31", unit="date", default=...)


class Licence(Model):
    """The contractor's licence."""

    number: Line = told("Number.", example="RC-20311", default=...)
    valid_from: Day | None = told(
        "First day, where it is not an old one.", example="2025-07-01", unit="date"
    )
    valid_to: Day | None = told("Last day.", example="2027-06-30", unit="date")


class OwnInsurance(Model):
    """One insurance of the contractor's own."""

    covers: Line = told("What it covers.", example="general liability", default=...)
    policy: Line | None = told("Policy number.", example="GL-88021")
    valid_from: Day | None = told("First day.", example="2026-01-01", unit="date")
    valid_to: Day | None = told("Last day.", example="2026-12-31", unit="date")


class Workmanship(Model):
    """The company's own coverage of its workmanship."""

    title: Line = told("Its title.", example="Workmanship coverage", default=...)
    coverage: Coverage = told("What it covers.", default=...)
    ends_coverage: tuple[Line, ...] = told("What ends it.", default=())
    claim: Line = told("How to claim.", default="")


class Colours(Model):
    """The company's two printed colours."""

    main: Line = told("For headings and rules.", example="#1F3A4D", default="#1F3A4D")
    accent: Line = told("For marks.", example="#8A4B2A", default="#8A4B2A")

    @field_validator("main", "accent")
    @classmethod
    def _is_a_colour(cls, text: str) -> str:
        digits = text.removeprefix("#")
        if (
            len(text) != 7
            or not text.startswith("#")
            or set(digits) - set("0123456789abcdefABCDEF")
        ):
            raise ValueError(f"found “{clip(text)}”, needed a colour such as #1F3A4D")
        return text


class Company(Model):
    """The contractor."""

    name: Line = told("The company's name.", example="Ormskar Roofing", default=...)
    address: Line = told("Its address.", example="14 Millrace Yard, Halvorsted", default="")
    phone: Line = told("Telephone.", example="555-0110", default="")
    email: Line = told("E-mail.", example="office@example.com", default="")
    licence: Licence | None = told("Its licence; n/a and the reason where none is asked for.")
    insurance: tuple[OwnInsurance, ...] = told("Its own insurance.", default=())
    certifications: tuple[Certification, ...] = told("Its certifications.", default=())
    crews: tuple[Crew, ...] = told("Its crews.", default=())
    supplier: Line | None = told(
        "The usual supplier, for tickets that name none.", example="Fjordgate Building Supply"
    )
    workmanship: Workmanship | None = told("Its own coverage.")
    logo: Line | None = told("Logo file in the office folder.", example="logo.png")
    colours: Colours = told("Its colours.", default=Colours())
    paper: PaperSizeWord = told("Paper it prints on.", example="letter", default=PaperSize.LETTER)
