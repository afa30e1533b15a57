"""Slopes by their labels and facings."""

from collections import Counter
from collections.abc import Iterator
from itertools import combinations

from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends
from dossier.record.roof import Slope
from dossier.rules.declare import Example, Fault, rule
from dossier.rules.held import NOT_TRUE
from dossier.said import Listed, say
from dossier.values import spelt

_ACROSS = {"N": "S", "S": "N", "E": "W", "W": "E", "NE": "SW", "SW": "NE", "NW": "SE", "SE": "NW"}


def _side(slope: Slope) -> str:
    """Return the side a slope faces in one or two capitals, of S, south, SE or south-east."""
    words = (slope.faces or "").upper().replace("-", " ").split()
    return "".join(word if len(word) <= 2 else word[0] for word in words)


@rule(
    id="IDN-007",
    says="{count} slopes are called {label}.",
    why="Photos, repairs and days are filed by a slope's name; two of one name cannot be told apart.",
    source="Our habit; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Give each slope a name of its own, and use it for its photos too.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=NOT_TRUE,
    rests_on={"job.slopes": "COD-020 asks for the slopes."},
    examples=[
        Example(
            {"job.slopes.1": "front, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft"},
            finds="2 slopes are called front.",
        ),
        Example(
            {
                "job.slopes.1": "front-2, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft"
            },
            finds=None,
        ),
    ],
)
def one_name_for_two_slopes(case: Case) -> Iterator[Fault]:
    # File names are read without regard to case, so Front and front are one name there.
    labels = [spelt(slope.label) for slope in case.job.slopes]
    for label, count in Counter(labels).items():
        if count > 1:
            number = labels.index(label)
            yield Fault(
                case.where(f"slopes.{number}.label"),
                {"count": count, "label": case.job.slopes[number].label},
            )


@rule(
    id="IDN-008",
    says="{what} names the slope “{label}”, which is none of {slopes}.",
    why="What is filed under a slope that is not there is on no plan and in no figure.",
    source="Our habit; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Write the slope's name as it stands under slopes, or add the slope.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=NOT_TRUE,
    rests_on={
        "job.repairs": "A repair that is not on record names no slope.",
        "job.slopes": "COD-020 asks for the slopes.",
    },
    examples=[
        Example(
            {"job.repairs.0.slope": "rear"},
            finds="Deck repair 1 names the slope “rear”, which is none of front and back.",
        ),
        Example(
            {"job.work.1": "2026-09-14, underlayment, on front + rear, checked by Ida Torvik"},
            finds="The work log's line 2 names the slope “rear”, which is none of front and back.",
        ),
        Example(
            {"job.decks": {"slopes": "front, rear", "kind": "OSB", "thickness_in": "7/16"}},
            finds="Deck 1 names the slope “rear”, which is none of front and back.",
        ),
        Example({"job.repairs.0.slope": "front"}, finds=None),
    ],
)
def slope_that_is_none(case: Case) -> Iterator[Fault]:
    known = [slope.label for slope in case.job.slopes]
    named = [
        *(
            (say("Deck {number}", number=n + 1), f"decks.{n}.slopes", label)
            for n, deck in enumerate(case.job.decks)
            for label in deck.slopes
        ),
        *(
            (say("Deck repair {number}", number=n + 1), f"repairs.{n}.slope", repair.slope)
            for n, repair in enumerate(case.job.repairs)
            if repair.slope
        ),
        *(
            (say("The work log's line {number}", number=n + 1), f"work.{n}", label)
            for n, day in enumerate(case.job.work)
            for label in day.slopes
        ),
    ]
    named += [
        (say("The lot {mark}", mark=lot.mark), f"deliveries.{d}.lines.{n}.lots.{m}", label)
        for d, delivery in enumerate(case.job.deliveries)
        for n, line in enumerate(delivery.lines)
        for m, lot in enumerate(line.lots)
        for label in lot.slopes
    ]
    for what, path, label in named:
        if known and label not in known:
            yield Fault(
                case.where(path), {"what": what, "label": label, "slopes": Listed(tuple(known))}
            )


@rule(
    id="IDN-009",
    says="Slopes {one} and {other} both face {faces}, and no slope faces the other way.",
    why="The two sides of a gable fall away from each other; a plan drawn of this record would be wrong.",
    source="Geometry; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Correct the side that one of them faces.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=frozenset({Holds.HANDOVER}),
    rests_on={"job.slopes.*.faces": "Without it the plan says that the side is not on record."},
    examples=[
        Example(
            {
                "job.slopes.1": "back, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, pipes 1"
            },
            finds="Slopes front and back both face S, and no slope faces the other way.",
        ),
        Example(
            # A porch below the only slope that was re-roofed faces as it does.
            {
                "job.slopes.1": "porch, faces S, 6:12, plan 12 ft x 8 ft, eave 12 ft",
                "job.repairs": None,
            },
            finds=None,
        ),
    ],
)
def gable_sides_face_one_way(case: Case) -> Iterator[Fault]:
    sides = {_side(slope) for slope in case.job.slopes}
    for one, other in combinations(case.job.slopes, 2):
        side = _side(one)
        # Two planes of one size that share a ridge are the sides of a gable; any other two may fall one way.
        alike = (
            one.pitch == other.pitch
            and one.plan == other.plan
            and one.eave_ft == other.eave_ft
            and (one.plan is not None or one.eave_ft is not None)
        )
        ridges = [slope.ridge_ft for slope in (one, other) if slope.ridge_ft]
        gable = side in _ACROSS and side == _side(other) and alike and len(ridges) == 1
        if gable and _ACROSS[side] not in sides:
            number = case.job.slopes.index(other)
            values = {"one": one.label, "other": other.label, "faces": other.faces or ""}
            yield Fault(case.where(f"slopes.{number}.faces"), values)
