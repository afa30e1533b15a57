"""What came for a roof against what the record says that the roof has."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Manner, Party, Sends, Weight
from dossier.rules.counts import one_by_one
from dossier.rules.declare import Example, Fault, rule
from dossier.said import Listed, Number
from dossier.words import FlashingState, Redecked, Role

_NAMED: Mapping[Role, str] = MappingProxyType(
    {
        Role.HIP_AND_RIDGE: "no slope has a ridge or a hip on record",
        Role.VALLEY: "no slope has a valley on record",
        Role.SKYLIGHT_KIT: "no slope has a skylight on record",
        Role.PIPE_BOOT: "no slope has a pipe on record",
        Role.DECK_PANEL: "no deck repair and no new deck is on record",
    }
)
"""What a product is for, and that the record has none of it."""


def _has(case: Case, assessment: Assessment, role: Role) -> bool:
    """Return whether the record has what a product of this role is for."""
    slopes, totals = case.job.slopes, assessment.totals
    return {
        Role.HIP_AND_RIDGE: bool(totals.ridge_ft) or bool(totals.hip_ft),
        Role.VALLEY: any(slope.valley_ft for slope in slopes),
        Role.SKYLIGHT_KIT: any(slope.skylights for slope in slopes),
        Role.PIPE_BOOT: any(slope.penetrations for slope in slopes),
        Role.DECK_PANEL: bool(case.job.repairs)
        or any(deck.redecked not in (None, Redecked.NO) for deck in case.job.decks),
    }[role]


@rule(
    id="MAT-019",
    says="{product} came for this roof and did not go back, and {none}.",
    why="What was built and is not on record is neither paid for nor found again, and what was not built is owed "
    "back.",
    source="The deliveries and the measured roof against each other; no published source",
    owed_by=Party.OFFICE,
    remedy="Add to the record what it was for, or write under returned what went back.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.deliveries": "MAT-004 asks for every role that no delivery shows.",
        "job.slopes": "COD-020 asks for the slopes.",
        "job.slopes.*.ridge_ft": "A blank is none of that edge, and that is what is told.",
        "job.slopes.*.hip_ft": "A blank is none of that edge, and that is what is told.",
        "job.slopes.*.valley_ft": "A blank is none of that edge, and that is what is told.",
        "job.slopes.*.skylights": "A blank is none, and that is what is told.",
        "job.slopes.*.penetrations": "A blank is none, and that is what is told.",
        "job.repairs": "A blank is none, and that is what is told.",
        "job.decks": "DEC-008 asks for the deck.",
    },
    examples=[
        Example(
            {"job.repairs": None},
            finds="OSB panel 7/16 in came for this roof and did not go back, and no deck repair and no new deck "
            "is on record.",
        ),
        Example(
            {
                "job.slopes.0": "front, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, ridge 0 ft, "
                "pipes 1"
            },
            finds="Crownline hip and ridge came for this roof and did not go back, and no slope has a ridge or a "
            "hip on record.",
        ),
        # Where a reason was given it is set beside the deliveries by another rule.
        Example({"job.repairs": "n/a, the deck was sound"}, finds=None),
        Example(
            {"job.repairs": None, "job.decks": "plywood 1/2 in, rafters 24 in, redecked part"},
            finds=None,
        ),
    ],
)
def came_for_nothing(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if not case.job.slopes:
        return
    for role, none in _NAMED.items():
        ticketed = [one for one in case.materials_of(role) if not one.is_stock]
        excused = role is Role.DECK_PANEL and case.reason_not("repairs")
        if ticketed and not excused and not _has(case, assessment, role):
            names = Listed(tuple(dict.fromkeys(one.name for one in ticketed)))
            yield Fault(case.where(ticketed[0].path), {"product": names, "none": none})


_ROUND_A_PIPE = (Role.PIPE_BOOT, Role.DUCT_OR_FLUE_CAP)
"""Roles of which a piece closes the place where a pipe or a vent goes through a slope."""


@rule(
    id="MAT-020",
    says="{pipes} pipes and vents go through this roof on record, and {pieces} boots, caps and vents came for "
    "them.",
    why="A pipe without a boot of its own leaks first.",
    source="The deliveries and the measured roof against each other; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the number of pipes, or find the ticket or stock line of the other boots.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.slopes.*.penetrations": "A slope's line names what goes through it; blank is nothing.",
        "job.deliveries": "MAT-004 asks for every role that no delivery shows.",
        "job.deliveries.*.lines.*.quantity": "MAT-017 asks for it.",
        "job.building.attics.*.exhaust.*.count": "A vent that is counted by the foot stands along a ridge.",
        "job.installation.flashing": "Only flashing that was replaced whole took new boots; COD-016 tells of "
        "the rest.",
    },
    examples=[
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, pipes 19",
            },
            finds="20 pipes and vents go through this roof on record, and 2 boots, caps and vents came for them.",
        ),
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, pipes 19",
                "job.installation.flashing": "reused",
            },
            finds=None,
        ),
        Example({}, finds=None),
    ],
)
def more_pipes_than_boots(case: Case) -> Iterator[Fault]:
    laid = case.job.installation
    pipes = sum(slope.penetrations or 0 for slope in case.job.slopes)
    pieces = [one for role in _ROUND_A_PIPE for one in case.materials_of(role)]
    # Where none came at all, the rule on roles that are missing says so.
    if laid is None or laid.flashing is not FlashingState.REPLACED or not pieces:
        return
    if any(one.quantity is None or one.is_stock or not one_by_one(one) for one in pieces):
        return
    attics = case.job.building.attics if case.job.building else ()
    # A vent that is counted by the foot stands along a ridge, not in a hole of its own.
    vents = sum(vent.count or 0 for attic in attics for vent in attic.exhaust)
    counted = sum((one.quantity or Fraction(0) for one in pieces), Fraction(vents))
    if case.materials_of(Role.PIPE_BOOT) and pipes > counted:
        yield Fault(case.where(pieces[0].path), {"pipes": pipes, "pieces": Number(counted)})
