"""Nails: how many, how long, of which kind."""

from collections.abc import Iterator

from dossier.assess.code import DECK_IN, fewer_nails_than_code, nail_faults, nail_in
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends
from dossier.rules.asking import not_on_record
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Inches, say
from dossier.words import Redecked, Role


def _deck_blank_at(case: Case) -> str:
    """Return the field of the first deck whose thickness is not on record."""
    for number, one in enumerate(case.job.decks):
        if one.thickness_in is None and one.redecked is not Redecked.WHOLE:
            return f"decks.{number}.thickness_in"
        if one.new_thickness_in is None and one.renewed:
            return f"decks.{number}.new_thickness_in"
    return "decks"


@rule(
    id="COD-004",
    says="{nails} nails in each shingle are on record; {asked} are asked for.",
    why="Too few nails is what a wind claim is refused for first.",
    source="IRC 2018, 2021 and 2024, section R905.2.6 (as many as the maker asks, never under four in a strip "
    "shingle); the maker's terms for the level",
    owed_by=Party.CREW,
    remedy="Look at the nail-pattern photo; correct the count, or ask for a level that needs fewer.",
    asks="Look at the photo of the nails and tell us how many are in each shingle.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION, Holds.PERMIT},
    cannot_tell="whether enough nails went into each shingle",
    rests_on={"job.installation.nails_per_shingle": ASKED},
    examples=[
        Example(
            {"job.installation.nails_per_shingle": "5"},
            finds="5 nails in each shingle are on record; 6 are asked for.",
        ),
        Example(
            {"job.installation.nails_per_shingle": None},
            finds="Whether enough nails went into each shingle cannot be told: nails per shingle is needed.",
        ),
        Example(
            {"job.installation.nails_per_shingle": "3"},
            finds="3 nails in each shingle are on record; 6 are asked for.",
        ),
        Example({"job.installation.nails_per_shingle": "6"}, finds=None),
    ],
)
def too_few_nails(case: Case, assessment: Assessment) -> Iterator[Fault]:
    check = assessment.nailing
    path = "installation.nails_per_shingle"
    installation = case.job.installation
    nails = installation.nails_per_shingle if installation else None
    if nails is None:
        yield not_on_record(case, {path: "nails per shingle"})
    elif check.verdict == "short":
        # Four nails satisfy the code; what a level asks for beyond them is between owner and maker.
        code = {Holds.PERMIT} if fewer_nails_than_code(nails) else set[Holds]()
        yield Fault(
            case.where(path),
            {"nails": nails, "asked": nails + check.short_per_shingle},
            holds=frozenset({Holds.REGISTRATION, *code}),
        )


@rule(
    id="COD-015",
    says="Nails of {length} are on record; {asked} are needed in this deck.",
    why="A nail that does not come through a thin deck, or go 3/4 in into a thick one, pulls out.",
    source="IRC 2018, 2021 and 2024, section R905.2.5; 1/4 in of shingle and underlayment above the deck is "
    "common practice, no published source",
    owed_by=Party.CREW,
    remedy="Read the length off the box and correct it; else ask the permit office before anything else.",
    asks="Tell us the length of the nails, from the box.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether the nails are long enough for this deck",
    rests_on={
        "job.installation.fastener_length_in": "Asked where the catalogue does not tell the nail's length either.",
        "job.decks": "Asked where the nails are shorter than the thickest deck would ask for.",
        "job.decks.*.thickness_in": "Asked where the nails are shorter than the thickest deck would ask for.",
    },
    examples=[
        Example(
            {"job.installation.fastener_length_in": "3/4"},
            finds="Nails of 3/4 in are on record; at least 0.85 in are needed in this deck.",
        ),
        Example(
            {"job.installation.fastener_length_in": "7/8", "job.decks.0": {"kind": "plywood"}},
            finds="Whether the nails are long enough for this deck cannot be told: the thickness of the deck is "
            "needed.",
        ),
        Example(
            {"job.installation.fastener_length_in": "1.25", "job.decks.0": {"kind": "plywood"}},
            finds=None,
        ),
        Example({"job.installation.fastener_length_in": "7/8"}, finds=None),
    ],
)
def nails_too_short(case: Case, assessment: Assessment) -> Iterator[Fault]:
    check = assessment.nail_length
    path = "installation.fastener_length_in"
    if check.verdict == "cannot tell":
        needs = {path: "the length of the nails"} if "nail length" in check.needs else {}
        if DECK_IN in check.needs:
            needs[_deck_blank_at(case)] = "the thickness of the deck"
        yield not_on_record(case, needs)
    laid = nail_in(case)
    if check.verdict != "short" or check.short_in is None or laid is None:
        return
    text = "more than {needed}" if check.short_in == 0 else "at least {needed}"
    asked = say(text, needed=Inches(laid + check.short_in))
    yield Fault(case.where(path), {"length": Inches(laid), "asked": asked})


@rule(
    id="COD-021",
    says="The fasteners of the shingles: {fault}.",
    why="Staples and thin or bare nails let go in wind, or rust through before the shingles are old.",
    source="IRC 2018, 2021 and 2024, section R905.2.5 (roofing nails of galvanized or stainless steel, aluminum "
    "or copper, 12 gage, head 3/8 in, to ASTM F1667)",
    owed_by=Party.CREW,
    remedy="Read the box again and correct installation.fastener, fastener_shank_in or fastener_head_in; else "
    "ask the permit office before anything else.",
    asks="Tell us what is printed on the box of nails: kind, shank and head.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="what holds the shingles",
    rests_on={
        "job.installation.fastener": "Asked where no delivered product is on record as fastener either.",
        "job.installation.fastener_shank_in": "Judged where it is on record; roofing nails are made to the size.",
        "job.installation.fastener_head_in": "Judged where it is on record; roofing nails are made to the size.",
    },
    examples=[
        Example(
            {"job.installation.fastener": "16 gage staple"},
            finds="The fasteners of the shingles: staples, roofing nails needed.",
        ),
        Example(
            {
                "job.installation.fastener_shank_in": "0.099",
                "job.installation.fastener_head_in": "3/8",
            },
            finds="The fasteners of the shingles: shank 0.099 in, 0.105 in needed.",
        ),
        Example(
            {"job.deliveries.0.lines.9": None},
            finds="What holds the shingles cannot be told: the kind of fastener is needed.",
        ),
        Example({"job.installation.fastener": "galvanized coil nail, no staples"}, finds=None),
        Example({"job.installation.fastener_shank_in": "0.105"}, finds=None),
    ],
)
def fastener_not_allowed(case: Case) -> Iterator[Fault]:
    installation = case.job.installation
    path = "installation.fastener"
    told = bool(installation and installation.fastener) or bool(case.materials_of(Role.FASTENER))
    if not told and not case.reason_not(path):
        yield not_on_record(case, {path: "the kind of fastener"})
    for fault in nail_faults(case):
        yield Fault(case.where(path), {"fault": fault})
