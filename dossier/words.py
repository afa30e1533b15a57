"""The closed lists of words that the record, the sheets and the documents share.

In: nothing. Out: enums whose values are the words a person types and reads. Must not know what follows
from a word. One word per thing: a synonym is not added here, it is named in an error sentence.
"""

from enum import StrEnum


class Edition(StrEnum):
    """One document for one reader."""

    HOMEOWNER = "homeowner"
    RESALE = "resale"
    MAKER = "maker"
    INSURER = "insurer"
    OFFICE = "office"


class Phase(StrEnum):
    """The phases of a re-roof, in the order in which they usually come."""

    BEFORE = "before"
    TEAR_OFF = "tear-off"
    DECK = "deck"
    DECK_REPAIR = "deck repair"
    DRIP_EDGE = "drip edge"
    ICE_BARRIER = "ice barrier"
    UNDERLAYMENT = "underlayment"
    STARTER = "starter"
    FIELD = "field"
    FLASHING = "flashing"
    VENTILATION = "ventilation"
    HIP_AND_RIDGE = "hip and ridge"
    CLEAN_UP = "clean-up"
    FINISHED = "finished"

    @property
    def slug(self) -> str:
        """Return the word as a folder name: deck-repair."""
        return self.value.replace(" ", "-")


class Role(StrEnum):
    """What a product is for."""

    FIELD_SHINGLE = "field shingle"
    STARTER = "starter"
    HIP_AND_RIDGE = "hip and ridge"
    UNDERLAYMENT = "underlayment"
    ICE_BARRIER = "ice barrier"
    DRIP_EDGE = "drip edge"
    VALLEY = "valley"
    FLASHING = "flashing"
    INTAKE_VENT = "intake vent"
    EXHAUST_VENT = "exhaust vent"
    FASTENER = "fastener"
    CAP_FASTENER = "cap fastener"
    DECK_FASTENER = "deck fastener"
    DECK_PANEL = "deck panel"
    PANEL_CLIP = "panel clip"
    SEALANT = "sealant"
    LOW_SLOPE_MEMBRANE = "low-slope membrane"
    PIPE_BOOT = "pipe boot"
    SKYLIGHT_KIT = "skylight kit"
    DUCT_OR_FLUE_CAP = "duct or flue cap"


class PaperKind(StrEnum):
    """What a paper is."""

    CONTRACT = "contract"
    PERMIT = "permit"
    INSPECTION_CARD = "inspection card"
    TICKET = "ticket"
    RETURN_CREDIT = "return credit"
    CHANGE_ORDER = "change order"
    DECK_APPROVAL = "deck approval"
    INVOICE = "invoice"
    WAIVER = "waiver"
    COMPLETION = "completion"
    COLOUR_CHOICE = "colour choice"
    WARRANTY_TERMS = "warranty terms"
    CERTIFICATE = "certificate"
    REGISTRATION_CONFIRMATION = "registration confirmation"
    INSURANCE_CERTIFICATE = "insurance certificate"
    INSURER_SCOPE = "insurer scope"
    LEAD_RECORD = "lead record"
    VENT_CHECK = "vent check"
    DISPOSAL_TICKET = "disposal ticket"
    CREW_AGREEMENT = "crew agreement"
    CANCELLATION_NOTICE = "cancellation notice"
    CORRECTION_NOTICE = "correction notice"
    INSTRUCTIONS = "instructions"
    LETTER = "letter"
    WRAPPER = "wrapper"

    @property
    def slug(self) -> str:
        """Return the word as the first part of a file name: change-order."""
        return self.value.replace(" ", "-")


class Backing(StrEnum):
    """How far a statement is backed, strongest first."""

    REVIEWED = "reviewed"
    ON_FILE = "on file"
    STATED = "stated"
    ABSENT = "absent"


class OwnerKind(StrEnum):
    """What kind of owner holds the house; a maker's terms choose by it."""

    LIVING_THERE = "living there"
    LANDLORD = "landlord"
    COMPANY = "company"
    TRUST = "trust"
    ASSOCIATION = "association"


class Scope(StrEnum):
    """How much of the old covering came off."""

    FULL_TEAR_OFF = "full tear-off"
    PARTIAL_TEAR_OFF = "partial tear-off"
    RECOVER = "recover"


class OldCovering(StrEnum):
    """What the old roof was made of; some kinds may not be covered over."""

    ASPHALT = "asphalt shingles"
    ROLL = "roll roofing"
    WOOD_SHINGLES = "wood shingles"
    WOOD_SHAKES = "wood shakes"
    SLATE = "slate"
    CLAY = "clay tile"
    CEMENT = "cement tile"
    ASBESTOS_CEMENT = "asbestos-cement"
    METAL = "metal"
    OTHER = "other"


class OldState(StrEnum):
    """What state the old roof was in when somebody looked at it."""

    SOUND = "sound"
    SOAKED = "water-soaked"
    DETERIORATED = "deteriorated"


class OnTheRoof(StrEnum):
    """What stands on a roof and is taken off for the work."""

    SOLAR = "solar panels"
    DISH = "dish"
    ANTENNA = "antenna"
    GUTTERS = "gutters"
    OTHER = "other"


class DeckKind(StrEnum):
    """What the deck is made of."""

    BOARD = "board"
    PLYWOOD = "plywood"
    OSB = "OSB"


class Redecked(StrEnum):
    """How much of a deck was replaced or covered; an overlaid deck is not a replaced one."""

    WHOLE = "whole"
    PART = "part"
    OVERLAID = "overlaid"
    NO = "no"


class RepairKind(StrEnum):
    """What was done at one place of the deck."""

    SHEETS_REPLACED = "sheets replaced"
    BOARDS_REPLACED = "boards replaced"
    OVERLAID = "overlaid"
    REFASTENED = "refastened"


class Source(StrEnum):
    """Where delivered goods came from."""

    TICKET = "ticket"
    OWN_STOCK = "own stock"
    ANOTHER_JOB = "another job"


class EdgeKind(StrEnum):
    """The edges along which metal or starter runs."""

    EAVES = "eaves"
    RAKES = "rakes"


class WallDatum(StrEnum):
    """From which face of the exterior wall the ice barrier's reach is counted."""

    OUTSIDE_FACE = "outside face"
    INSIDE_FACE = "inside face"


class HeatedBelow(StrEnum):
    """Whether the space below an eave is heated."""

    YES = "yes"
    NO = "no"
    NO_WALL = "no wall"


class Exposure(StrEnum):
    """Wind exposure category (ASCE/SEI 7-22, section 26.7.3)."""

    B = "B"
    C = "C"
    D = "D"


class VapourRetarder(StrEnum):
    """Vapour retarder class at the warm side of the ceiling (IRC 2021, R702.7)."""

    CLASS_I = "class I"
    CLASS_II = "class II"
    CLASS_III = "class III"
    NONE = "none"


class AtticKind(StrEnum):
    """How an attic space is meant to breathe."""

    VENTED = "vented"
    UNVENTED = "unvented"


class ValleyMethod(StrEnum):
    """How the valleys are laid."""

    OPEN_METAL = "open metal"
    CLOSED_CUT = "closed cut"
    WOVEN = "woven"


class FlashingState(StrEnum):
    """Whether flashing is new or the old one was kept."""

    REPLACED = "replaced"
    REUSED = "reused"
    PARTLY = "partly replaced"


class InspectionResult(StrEnum):
    """What an inspection came to."""

    PASSED = "passed"
    FAILED = "failed"
    CORRECTIONS = "corrections asked"


class WaiverKind(StrEnum):
    """The four kinds of lien waiver (Cal. Civ. Code 8132 to 8138 as a worked model)."""

    CONDITIONAL_PROGRESS = "conditional progress"
    UNCONDITIONAL_PROGRESS = "unconditional progress"
    CONDITIONAL_FINAL = "conditional final"
    UNCONDITIONAL_FINAL = "unconditional final"


class PermitClosing(StrEnum):
    """How a re-roof permit closes in a locality."""

    INSPECTION = "inspection"
    PHOTO_AFFIDAVIT = "photo affidavit"
    CLOSED_BY_CONTRACTOR = "closed by contractor"
    NO_PERMIT_NEEDED = "no permit needed"


class StartEvent(StrEnum):
    """The event from which a deadline in printed terms is counted."""

    CONTRACT = "contract"
    ORDER = "order"
    LAST_SHINGLE = "last shingle"
    COMPLETION_SIGNED = "completion signed"
    FINAL_INVOICE = "final invoice"
    PAID_IN_FULL = "paid in full"
    CLOSING = "closing"
    DISCOVERY = "discovery"


class MetBy(StrEnum):
    """What meets a deadline: that the papers were sent, were received, or were accepted."""

    SENT = "sent"
    RECEIVED = "received"
    ACCEPTED = "accepted"


class ClaimNeed(StrEnum):
    """What a claims desk asks for with a claim."""

    PROOF_OF_PURCHASE = "proof of purchase"
    REGISTRATION_NUMBER = "registration number"
    INSTALLATION_DATE = "installation date"
    DATED_PHOTOS = "dated photos"
    SAMPLES = "samples"
    DESCRIPTION = "description of the damage"
    PROOF_OF_OWNERSHIP = "proof of ownership"
    LOTS = "lots"


class CoveragePart(StrEnum):
    """The parts into which a coverage splits."""

    MATERIAL = "material"
    LABOUR = "labour"
    TEAR_OFF = "tear-off"
    DISPOSAL = "disposal"
    METAL = "metal"
    WORKMANSHIP = "workmanship"
    WIND = "wind"
    ALGAE = "algae"


class Proration(StrEnum):
    """How a part's share falls after its full-pay period."""

    WHOLE_TERM = "whole term"
    PRORATED_PART = "prorated part"
    TABLE = "table"
    NONE = "none"


class MonthRounding(StrEnum):
    """Whether a started month counts as a month gone by."""

    STARTED = "started month counts"
    WHOLE = "whole months only"


class Cap(StrEnum):
    """What a payment is measured by."""

    ORIGINAL_PRICE = "original price"
    PRICE_TODAY = "price today"


class CodeEdition(StrEnum):
    """Editions of the International Residential Code that the tool knows."""

    IRC_2018 = "IRC 2018"
    IRC_2021 = "IRC 2021"
    IRC_2024 = "IRC 2024"


class PaperSize(StrEnum):
    """The paper the office prints on."""

    LETTER = "letter"
    A4 = "A4"


class EntryKind(StrEnum):
    """What happened after close-out, as an entry beside the sealed folder says it."""

    CORRECTION = "correction"
    LATE_PAPER = "late paper"
    LATE_PHOTO = "late photo"
    REGISTRATION_CONFIRMED = "registration confirmed"
    SOLD = "sold"
    CLAIM = "claim"
    WORK_BY_OTHERS = "work by others"
    REPAIR = "repair"
    MAKERS_INSPECTION = "maker's inspection"
    NOTE = "note"

    @property
    def slug(self) -> str:
        """Return the word as part of a folder name: makers-inspection."""
        return self.value.replace("'", "").replace(" ", "-")
