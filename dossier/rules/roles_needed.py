"""Roles that this roof or its terms cannot do without."""

from collections.abc import Iterator

from dossier.assess.has_place import why_no_place
from dossier.assess.needed import needed_details
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import held_by_terms
from dossier.said import Value, say
from dossier.words import Role

_BACK_AT_A_WALL = (
    "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, walls 12 ft, pipes 1"
)


def _needed_roles(case: Case, assessment: Assessment) -> Iterator[Role]:
    """Yield the roles that this roof cannot do without."""
    yield Role.FIELD_SHINGLE
    yield Role.STARTER
    if assessment.totals.ridge_ft or assessment.totals.hip_ft:
        yield Role.HIP_AND_RIDGE
    whole = case.job.slopes and all(slope.ice_barrier_whole for slope in case.job.slopes)
    if not whole and not case.is_recover:
        yield Role.UNDERLAYMENT
    if not why_no_place(case, Role.ICE_BARRIER) and any(
        s.reach is not None and s.reach.status == "required" for s in assessment.slopes
    ):
        yield Role.ICE_BARRIER
    yield Role.DRIP_EDGE
    yield Role.FASTENER


@rule(
    id="MAT-004",
    says="No {role} is among the deliveries{because}.",
    why="A part that no ticket and no stock line shows was either not installed or cannot be proved.",
    source="IRC 2018, 2021 and 2024: R905.1.1 underlayment, R905.1.2 ice barrier, R905.2.5 fasteners, "
    "R905.2.8.5 drip edge, R905.2.8.2 valleys, R903.2.1 and R905.2.8.3 walls and kick-outs, R905.2.8.4 pipes and "
    "chimneys; starter, hip and ridge and skylight kits by the makers' instructions. It holds registration only "
    "where a clause of the maker's terms names the part",
    owed_by=Party.OFFICE,
    remedy="Find the ticket, or add a delivery with source: own stock if it came off the truck; where old "
    "flashing "
    "was kept, write flashing: reused or partly replaced.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether the roof needed new {role}",
    examples=[
        Example({"job.deliveries.0.lines.1": None}, finds="No starter is among the deliveries."),
        Example(
            {
                "job.deliveries.0.lines.1": None,
                "job.deliveries.2": {
                    "source": "own stock",
                    "lines": "2 bundles Firstrow starter, lot 77-031 x 2",
                },
            },
            finds=None,
        ),
        # What all went back is not on the roof.
        Example(
            {"job.deliveries.0.lines.3": "2 rolls Dryfell underlayment, returned 2"},
            finds="No underlayment is among the deliveries.",
        ),
        Example(
            {"job.slopes.1": _BACK_AT_A_WALL},
            finds="No flashing is among the deliveries, and 12 ft of the roof run along walls.",
        ),
        Example(
            {"job.slopes.1": _BACK_AT_A_WALL, "job.installation.flashing": "reused"}, finds=None
        ),
        Example(
            {"job.slopes.1": _BACK_AT_A_WALL, "job.installation.flashing": None},
            finds="Whether the roof needed new flashing cannot be told: the state of the flashing is needed.",
        ),
        Example(
            {
                "job.slopes.1": _BACK_AT_A_WALL,
                "job.deliveries.2": {
                    "source": "own stock",
                    "lines": "24 pieces Eavewright step flashing",
                },
            },
            finds=None,
        ),
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, valleys 18 "
                "ft",
                "job.installation.valley_method": "open metal",
                "job.installation.valley_lining_in": "24",
            },
            finds="No valley metal is among the deliveries, and 18 ft of valleys are open metal.",
        ),
        # A closed valley is lined with ice barrier; there is no metal in it.
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, valleys 18 "
                "ft",
                "job.installation.valley_method": "closed cut",
                "job.installation.valley_lining_in": "36",
            },
            finds=None,
        ),
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, skylights 1"
            },
            finds="No skylight kit is among the deliveries, and the roof has 1 skylight.",
        ),
        Example(
            {"job.deliveries.0.lines.8": None},
            finds="No pipe boot is among the deliveries, and the roof has 2 pipes through it.",
        ),
    ],
    rests_on={
        "job.deliveries": ASKED,
        "job.installation.flashing": ASKED,
        "job.installation.valley_method": "The rule on valleys asks for it.",
        "job.slopes.*.valley_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.step_flashing_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.penetrations": "A slope's line names what goes through it; blank is nothing.",
        "job.slopes.*.skylights": "A slope's line names what stands in it; blank is none.",
        "job.slopes.*.chimneys": "A slope's line names what stands on it; blank is none.",
        "job.slopes.*.eave_meets_wall": "A slope's line names the walls it meets; blank is none.",
    },
)
def role_missing(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if case.reason_not("deliveries"):
        return
    where = case.where("deliveries")
    # A ticket of which no line was typed may have it; else it came on another one.
    bare = (n for n, one in enumerate(case.job.deliveries) if not one.lines)
    lacks = (next((f"deliveries.{number}.lines" for number in bare), "deliveries"),)
    for role in _needed_roles(case, assessment):
        if not case.materials_of(role):
            yield Fault(
                where,
                {"role": role, "because": ""},
                verdict=Verdict.MISSING,
                holds=held_by_terms(case, role),
                lacks=lacks,
            )
    for one in needed_details(case):
        if one.on_record:
            continue
        held = held_by_terms(case, one.role)
        if one.known:
            because = say(", and {because}", because=one.because)
            values: dict[str, Value] = {"role": one.name, "because": because}
            yield Fault(where, values, verdict=Verdict.MISSING, holds=held, lacks=lacks)
        elif not case.reason_not("installation.flashing"):
            yield untold(
                case,
                "installation.flashing",
                "the state of the flashing",
                {"role": one.name},
                holds=held,
            )
