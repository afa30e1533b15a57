"""Ice barrier: how far up from the eave it must reach, whether it does, and courses.

In: pitch as rise in 12; overhang, wall and reaches in inches; the code edition or a local rule.
Out: the reach along the slope, a verdict, courses. Must not know whether a locality asks for an
ice barrier at all, nor where a figure was written down.
Overhang, wall datum and heated space belong to each eave, so every call is about one eave.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from dossier.said import Listed, Number, Value, say
from dossier.trade.geometry import slope_factor, traced_slope_factor
from dossier.trade.working import (
    Confidence,
    Exact,
    Line,
    Traced,
    Working,
    above_zero,
    blank,
    ceiling,
    exact,
    given,
    inches,
    needed,
    not_below_zero,
    one_of,
)

INSIDE_WALL_IN = Fraction(24)
"""Level inches inside the exterior wall line that the barrier must reach (IRC R905.1.2)."""

STEEP_PITCH_IN_12 = Fraction(8)
STEEP_REACH_IN = Fraction(36)
"""From 8:12 up, at least 36 in along the slope (IRC 2015, 2018 and 2021 R905.1.2; gone in 2024)."""

STEEP_RULE_EDITIONS = frozenset({2015, 2018, 2021})

_MODEL_SOURCE = "IRC R905.1.2, applied by geometry"


@dataclass(frozen=True)
class Eave:
    """One eave as the reach depends on it. Lengths in inches; None where nobody measured."""

    pitch_in_12: Exact
    overhang_in: Exact | None
    """Level, from the wall's outside face to the lowest edge of the deck."""
    wall_in: Exact | None = None
    """Thickness of the exterior wall; needed only where the inside face is the datum."""
    slope_length_in: Exact | None = None
    """From eave to top along the slope: nothing can be asked for beyond it."""
    heated_below: str | None = "yes"
    """“yes”, “no” or “no wall” (an open porch); None when nobody said. “no” asks for as much as “yes”: a garage
    that is attached to the house is not left out."""
    detached_unheated: bool = False
    """A building that stands alone and has no heat, which the code leaves out (IRC R905.1.2, exception:
    detached accessory structures not containing conditioned floor area; from memory)."""


@dataclass(frozen=True)
class Reach:
    """How far the barrier must reach along the slope from the eave's edge."""

    status: Literal["required", "not required", "cannot tell"]
    required_in: Fraction | None
    """With “required”, the reach asked for. With “cannot tell”, the reach that satisfies every
    reading, when there is one."""
    capped: bool
    """True when the slope is shorter than the rule's reach, so that the whole slope is the
    answer."""
    needs: tuple[str, ...]
    working: Working


def model_code_reach(
    eave: Eave,
    edition: int,
    datum: str = "outside face",
    whole_slope_below_pitch: Exact | None = None,
) -> Reach:
    """Return the reach that the model residential code asks for at one eave.

    edition: the code's year. datum: “outside face” (the code's own reading, least material) or
    “inside face”, which adds the wall's thickness. whole_slope_below_pitch: where a locality or a
    maker wants every slope below this pitch covered whole; None where nobody asks.
    Source: IRC R905.1.2; the 36 in rule from 8:12 up by edition.
    """
    one_of(datum, ("outside face", "inside face"), "datum")
    pitch = not_below_zero(eave.pitch_in_12, "pitch")
    inside = datum == "inside face"
    steep = edition in STEEP_RULE_EDITIONS and pitch >= STEEP_PITCH_IN_12
    level = not_below_zero(eave.overhang_in or 0, "overhang") + INSIDE_WALL_IN
    level += not_below_zero(eave.wall_in or 0, "wall thickness") if inside else 0
    asked = given(level, "(overhang + wall + 24 in)" if inside else "(overhang + 24 in)", "in")
    asked *= traced_slope_factor(pitch)
    formula: Line = asked.formula
    if steep:
        formula = say("the larger of 36 in and {formula}", formula=formula)
    needs = tuple(
        name
        for name, missing in (
            ("overhang", eave.overhang_in is None),
            ("wall thickness", inside and eave.wall_in is None),
        )
        if missing
    )
    reach: Fraction | None = None
    numbers: list[Value] = []
    if not needs:
        reach, numbers = asked.value, [asked.line("in")]
        if steep and reach < STEEP_REACH_IN:
            reach = STEEP_REACH_IN
            numbers.append(say("36 in is more"))
    source = say("{source}; {edition} edition", source=say(_MODEL_SOURCE), edition=edition)
    return _reach(
        eave, reach, needs, whole_slope_below_pitch, (formula, numbers, source, "looked-up")
    )


def local_reach(
    eave: Eave,
    min_up_slope_in: Exact,
    beyond_inner_face_in: Exact,
    source: str,
    whole_slope_below_pitch: Exact | None = None,
) -> Reach:
    """Return the reach under a local rule measured along the slope.

    The larger of min_up_slope_in from the edge and beyond_inner_face_in past the wall's inner
    face, both up the slope. source: the local rule's name, as Wis. Admin. Code SPS 321.28(4)(b),
    which has 30 and 12 in (seen only as a quotation). whole_slope_below_pitch: as for the model
    code.
    """
    least = given(min_up_slope_in, "least reach", "in")
    beyond = not_below_zero(beyond_inner_face_in, "reach past the inner face")
    level = not_below_zero(eave.overhang_in or 0, "overhang")
    level += not_below_zero(eave.wall_in or 0, "wall thickness")
    past_wall = given(level, "(overhang + wall)", "in") * traced_slope_factor(eave.pitch_in_12)
    past_wall += given(beyond, str(inches(beyond)), "in")
    needs = blank(("overhang", eave.overhang_in), ("wall thickness", eave.wall_in))
    reach: Fraction | None = None
    numbers: list[Value] = []
    if not needs:
        reach = max(least.value, past_wall.value)
        numbers = [past_wall.line("in"), say("the larger is {reach}", reach=inches(reach))]
    formula = say("the larger of {least} and {past}", least=least.numbers, past=past_wall.formula)
    return _reach(
        eave, reach, needs, whole_slope_below_pitch, (formula, numbers, source, "looked-up")
    )


def _reach(
    eave: Eave,
    reach: Fraction | None,
    needs: tuple[str, ...],
    whole_slope_below_pitch: Exact | None,
    line: tuple[Line, list[Value], Line, Confidence],
) -> Reach:
    """Return the reach after what overrides a rule's figure: heat below, whole slopes, the cap."""
    if eave.heated_below is not None:
        one_of(eave.heated_below, ("yes", "no", "no wall"), "heated_below")
    formula, numbers, source, confidence = line
    if eave.detached_unheated:
        return Reach(
            "not required",
            None,
            False,
            (),
            Working(
                "detached accessory structures without heat are left out",
                "detached and unheated",
                "IRC R905.1.2, exception",
                "from memory",
            ),
        )
    own = None
    if eave.slope_length_in is not None:
        own = above_zero(eave.slope_length_in, "slope length")
    whole = whole_slope_below_pitch is not None and exact(eave.pitch_in_12, "pitch") < exact(
        whole_slope_below_pitch, "whole_slope_below_pitch"
    )
    if whole:
        reach, needs = own, (() if own is not None else ("slope length",))
        pitch = Number(whole_slope_below_pitch or 0, "", 2)
        formula = say("whole slope below {pitch}:12", pitch=pitch)
        numbers = [] if own is None else [say("slope length {own}", own=inches(own))]
    # A barrier over the whole slope satisfies any rule, so the slope's own length answers even
    # where the overhang is not known.
    if eave.heated_below == "no wall" and not whole:
        reach, needs = own, ("the permit office's word on an eave with no wall below",)
    elif eave.heated_below is None and not whole:
        needs += ("whether the space below the eave is heated",)
    capped = own is not None and (reach is None or reach >= own)
    if capped:
        reach = own
        numbers = [*numbers, say("the slope itself is {own}", own=inches(own or 0))]
    if needs:
        numbers = [*numbers, needed(needs)]
    return Reach(
        "cannot tell" if needs else "required",
        reach,
        capped,
        needs,
        Working(formula, say("{all}", all=Listed(tuple(numbers), "; ")), source, confidence),
    )


@dataclass(frozen=True)
class ReachCheck:
    """Whether the barrier as laid reaches far enough at one eave."""

    verdict: Literal["reaches", "short", "not required", "cannot tell"]
    installed_in: Fraction | None
    """Along the roof from the deck's edge, the fascia wrap taken off; None when nobody measured."""
    short_in: Fraction | None
    """Inches missing; zero unless short, None when it cannot be told."""
    needs: tuple[str, ...]
    working: Working


def check_reach(
    reach: Reach,
    installed_in: Exact | None,
    fascia_wrap_in: Exact = 0,
    tolerance_in: Exact = 0,
) -> ReachCheck:
    """Return whether an installed reach satisfies the reach asked for.

    installed_in: membrane laid, along the slope from its lowest edge. fascia_wrap_in: the part of
    it folded down over the fascia, which protects no deck. tolerance_in: a shortfall up to this
    much is put down to the tape.
    """
    wrap = not_below_zero(fascia_wrap_in, "fascia wrap")
    tolerance = not_below_zero(tolerance_in, "tolerance")
    laid = None if installed_in is None else not_below_zero(installed_in, "installed reach")
    net = None if laid is None else max(Fraction(0), laid - wrap)
    formula = "installed reach - fascia wrap ≥ required reach"

    def result(
        verdict: Literal["reaches", "short", "not required", "cannot tell"],
        short: Fraction | None,
        needs: tuple[str, ...],
        numbers: Line,
    ) -> ReachCheck:
        line = Working(formula, numbers, reach.working.source, reach.working.confidence)
        return ReachCheck(verdict, net, short, needs, line)

    if reach.status == "not required":
        return result("not required", Fraction(0), (), reach.working.with_numbers)
    if laid is None or net is None:
        return result("cannot tell", None, (*reach.needs, "installed reach"), "installed reach ?")
    required = reach.required_in
    if required is None:
        laid_alone = say("{net} laid; required reach ?", net=inches(net))
        return result("cannot tell", None, reach.needs, laid_alone)
    numbers = f"{inches(laid)} - {inches(wrap)} = {inches(net)}"
    if net + tolerance >= required:
        return result("reaches", Fraction(0), (), f"{numbers} ≥ {inches(required)}")
    if reach.status == "cannot tell":
        return result("cannot tell", None, reach.needs, f"{numbers} < {inches(required)}")
    short = required - net
    line = say(
        "{numbers} < {required}; short by {short}",
        numbers=numbers,
        required=inches(required),
        short=inches(short),
    )
    return result("short", short, (), line)


def inside_wall_in(
    eave: Eave, laid_in: Exact | None, datum: str = "outside face"
) -> Fraction | None:
    """Return how far level, in inches, the barrier's upper edge lies inside the wall line.

    laid_in: along the slope from the deck's edge, fascia wrap taken off. datum: as for
    `model_code_reach`. Below zero where the barrier stops before the wall; None where a figure is
    missing or no wall stands below. Source: geometry.
    """
    one_of(datum, ("outside face", "inside face"), "datum")
    inside = datum == "inside face"
    if laid_in is None or eave.overhang_in is None or eave.heated_below == "no wall":
        return None
    if inside and eave.wall_in is None:
        return None
    line = exact(eave.overhang_in, "overhang") + (exact(eave.wall_in or 0, "wall") if inside else 0)
    return not_below_zero(laid_in, "installed reach") / slope_factor(eave.pitch_in_12) - line


@dataclass(frozen=True)
class Courses:
    """Full-width courses of a roll, one above the other from the eave."""

    count: int
    covered_in: Fraction
    """From the lowest edge to the top of the uppermost course."""
    working: Working


def courses_for(reach_in: Exact, roll_width_in: Exact = 36, lap_in: Exact = 4) -> Courses:
    """Return the courses that cover a reach along the slope.

    reach_in: with any fascia wrap already added. lap_in: each course over the one below; 3 to 6 in
    by maker's instruction (common practice), below the roll's width.
    """
    reach = above_zero(reach_in, "reach")
    width, step = _width_and_step(roll_width_in, lap_in)
    more = ceiling((reach - width.value) / step.value) if reach > width.value else 0
    return covered_by(1 + more, roll_width_in, lap_in)


def covered_by(courses: int, roll_width_in: Exact = 36, lap_in: Exact = 4) -> Courses:
    """Return what a number of courses (one or more) covers along the slope, in inches."""
    further = given(above_zero(courses, "courses") - 1, "(courses - 1)")
    width, step = _width_and_step(roll_width_in, lap_in)
    covered = width + further * step
    source = "Geometry; the lap by maker's instruction"
    return Courses(courses, covered.value, covered.working("in", source, "common practice"))


def _width_and_step(roll_width_in: Exact, lap_in: Exact) -> tuple[Traced, Traced]:
    """Return the roll's width and what each further course adds; the lap is below the width."""
    width, lap = above_zero(roll_width_in, "roll width"), not_below_zero(lap_in, "lap")
    if lap >= width:
        raise ValueError(f"the lap {inches(lap)} is not below the roll width {inches(width)}")
    step = given(width - lap, "(roll width - lap)", "in")
    return given(width, "roll width", "in"), step
