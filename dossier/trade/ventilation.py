"""Attic ventilation: the net free area a space needs, and whether its vents give it.

In: attic floor in square feet, net free areas in square inches, climate zone, vapour retarder,
edition. Out: required areas, a verdict per separate space, what is short in square inches and feet
of vent. Must not know which vents were bought. Attic vents lie outside a re-roof's scope unless
adopted locally, so what a shortfall holds up is for others to say.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from dossier.said import Listed, Number, Product, Said, Share, say
from dossier.trade.working import (
    Exact,
    Working,
    above_zero,
    blank,
    exact,
    needed,
    not_below_zero,
    one_of,
)

FULL_RATIO = 150
REDUCED_RATIO = 300
"""Vented area per net free area: 1/150, or 1/300 under conditions (IRC R806.2)."""

UPPER_LOW_SHARE = Fraction(40, 100)
UPPER_HIGH_SHARE = Fraction(50, 100)
"""Between 40 and 50 percent of the required area lies high: a condition of 1/300 alone (IRC 2012 on, R806.2).
To part 1/150 in the same way is common practice, no published source."""

UPPER_DROP_FT = 3
"""Upper vents lie no lower than this below the ridge, measured straight down (IRC R806.2)."""

COLD_ZONES = frozenset({6, 7, 8})
"""Zones in which 1/300 also asks for a class I or II vapour retarder (IRC R806.2)."""

BOTH_CONDITIONS_FROM = 2018
"""Until 2015 one of the two conditions was enough, from 2018 both are needed. The older wording was
seen for 2012; 2015 and 2018 are from memory."""

AREA = "attic area"
EXHAUST = "net free area of the exhaust vents"
INTAKE = "net free area of the intake vents"
RETARDER = "vapour retarder at the ceiling"
ZONE = "climate zone"
UPPER_DROP = "how far the high vents sit below the highest point"
"""What a verdict may lack, in words."""

RETARDERS = ("class I", "class II", "class III", "none")


def required_sqin(area_sqft: Exact, ratio: int) -> Fraction:
    """Return the net free area in square inches for a vented area; ratio is 150 or 300."""
    if ratio not in (FULL_RATIO, REDUCED_RATIO):
        raise ValueError(f"ratio is {ratio}, needed 150 or 300")
    return not_below_zero(area_sqft, "attic area") * 144 / ratio


@dataclass(frozen=True)
class Split:
    """How a required area is parted between high and low vents, in square inches."""

    upper_least_sqin: Fraction
    upper_most_sqin: Fraction
    lower_least_sqin: Fraction
    lower_most_sqin: Fraction


def split(required: Exact) -> Split:
    """Return the least and most of upper and lower vents for a required area in square inches."""
    area = not_below_zero(required, "required area")
    return Split(
        area * UPPER_LOW_SHARE,
        area * UPPER_HIGH_SHARE,
        area * (1 - UPPER_HIGH_SHARE),
        area * (1 - UPPER_LOW_SHARE),
    )


@dataclass(frozen=True)
class Ratio:
    """Which ratio the code's words give; None where they cannot be applied."""

    ratio: int | None
    needs: tuple[str, ...]
    working: Working


def _checked(zone: int | None, retarder: str | None) -> None:
    if zone is not None and zone not in range(9):
        raise ValueError(f"climate zone is {zone}, needed 0 to 8")
    if retarder is not None:
        one_of(retarder, RETARDERS, "vapour retarder")


def _retarder_condition(zone: int | None, retarder: str | None, edition: int) -> bool | None:
    """Return whether the vapour-retarder condition lets 1/300 through; None when not known.

    Where both conditions are needed, a mild zone asks for no retarder; where one is enough, a mild
    zone cannot meet this one, which names only zones 6, 7 and 8.
    """
    tight = None if retarder is None else retarder in ("class I", "class II")
    if edition >= BOTH_CONDITIONS_FROM:
        if zone is None:
            return True if tight else None
        return tight if zone in COLD_ZONES else True
    if zone is None:
        return None if tight is not False else False
    return tight if zone in COLD_ZONES else False


def upper_high(drop_ft: Exact | None, at_the_ridge: bool) -> bool | None:
    """Return whether high vents sit no more than 3 ft below the highest point (IRC R806.2); None: not known.

    drop_ft: measured straight down; None where nobody measured. at_the_ridge: whether all of them are of a kind
    that sits at or near the ridge, which then need no measuring.
    """
    if drop_ft is None:
        return True if at_the_ridge else None
    return not_below_zero(drop_ft, "upper drop") <= UPPER_DROP_FT


def literal_ratio(
    edition: int,
    zone: int | None,
    retarder: str | None,
    upper_share_of_required: Exact | None,
    upper_high: bool | None = True,
) -> Ratio:
    """Return the ratio that the code's own words give.

    zone: climate zone 0 to 8. retarder: “class I”, “class II”, “class III” or “none”; None: not
    known. upper_share_of_required: high vents as a share of the area required at 1/300.
    upper_high: whether the high vents sit near the highest point; None: not known.
    """
    _checked(zone, retarder)
    first = _retarder_condition(zone, retarder, edition)
    second = None
    if upper_share_of_required is not None:
        share = exact(upper_share_of_required, "upper share")
        parted = UPPER_LOW_SHARE <= share <= UPPER_HIGH_SHARE
        second = upper_high if parted else False
    both = edition >= BOTH_CONDITIONS_FROM
    if both:
        allowed = False if False in (first, second) else None if None in (first, second) else True
    else:
        allowed = True if True in (first, second) else None if None in (first, second) else False
    needs: tuple[str, ...] = ()
    if allowed is None:
        needs += ("vapour retarder and climate zone",) if first is None else ()
        lacking = "high vents as a share" if upper_share_of_required is None else UPPER_DROP
        needs += (lacking,) if second is None else ()
    ratio = None if allowed is None else REDUCED_RATIO if allowed else FULL_RATIO
    words = {True: say("met"), False: say("not met"), None: say("cannot tell")}
    formula = say(
        "1/300 when both conditions are met, else 1/150"
        if both
        else "1/300 when one condition is met, else 1/150"
    )
    return Ratio(
        ratio,
        needs,
        Working(
            formula,
            say(
                "vapour retarder {retarder}, high vents 40 to 50 % {high}: {ratio}",
                retarder=words[first],
                high=words[second],
                ratio=words[None] if ratio is None else f"1/{ratio}",
            ),
            f"IRC {edition} R806.2",
            "from memory",
        ),
    )


@dataclass(frozen=True)
class Ground:
    """What the vapour retarder says of 1/300 in one space (IRC R806.2).

    lets: whether 1/300 is let through so far, None where it cannot be told; always where the edition asks for one
    condition only, since the parting is the other. retarder, zone: None where not known.
    """

    lets: bool | None
    retarder: str | None
    zone: int | None

    @property
    def zone_asks(self) -> bool | None:
        """Return whether this climate zone asks for a retarder of class I or II; None where it is not known."""
        return None if self.zone is None else self.zone in COLD_ZONES


def _ground(edition: int, zone: int | None, retarder: str | None) -> Ground:
    # Where one condition is enough, the balance that the verdict asks for is that condition.
    one = edition < BOTH_CONDITIONS_FROM
    return Ground(one or _retarder_condition(zone, retarder, edition), retarder, zone)


@dataclass(frozen=True)
class AtticSpace:
    """One separate attic space: main, knee wall, vaulted. Areas None where nobody measured."""

    name: str
    area_sqft: Exact | None
    exhaust_sqin: Exact | None
    intake_sqin: Exact | None
    retarder: str | None = None
    vented: bool = True
    exhaust_kinds: tuple[str, ...] = ()
    """The kinds of exhaust vent in this space; more than one is noted."""
    upper_high: bool | None = True
    """As `upper_high` gives it: whether the high vents sit near the highest point."""


@dataclass(frozen=True)
class Asks:
    """What is asked of one attic space at one ratio: in all, and parted high and low.

    The total is the code's at both ratios; the parting is so at 1/300 alone, and common practice with no
    published source at 1/150.
    """

    ratio: int
    required_sqin: Fraction
    parted: Split


def asks_at(area_sqft: Exact, ratio: int) -> Asks:
    """Return what a vented area in square feet needs at 1/150 or 1/300 (IRC R806.2), parted high and low."""
    required = required_sqin(area_sqft, ratio)
    return Asks(ratio, required, split(required))


Verdict = Literal["pass", "short", "unbalanced", "cannot tell", "not applicable"]


@dataclass(frozen=True)
class SpaceCheck:
    """Whether one attic space is vented as it should be."""

    name: str
    verdict: Verdict
    ratio: int | None
    required_sqin: Fraction | None
    exhaust_short_sqin: Fraction
    intake_short_sqin: Fraction
    """What is missing of 40 and 50 percent of the area required at the ratio that holds."""
    exhaust_short_ft: Fraction | None
    intake_short_ft: Fraction | None
    """The shortfalls in feet of ridge vent and of soffit vent; None without a figure per foot."""
    needs: tuple[str, ...]
    notes: tuple[Said, ...]
    """The literal reading of the code, and mixed kinds of exhaust. A note is never a fault."""
    working: Working
    exhaust_sqin: Fraction | None = None
    intake_sqin: Fraction | None = None
    """The net free areas that were looked at; None where one is not known, or none is asked for."""
    asks: tuple[Asks, ...] = ()
    """What is asked for, least first: at the ratio the verdict rests on, or at each that may hold where
    the verdict is “cannot tell”. Empty without an area, or where none is asked for."""
    literal: tuple[Said, ...] = ()
    """The note on the code's own words, clause by clause; empty where an area is not known."""
    met_by_words: Said | None = None
    """Its first clause where the code's own words are met; None where they are not, or cannot be told."""
    ground: Ground | None = None
    """What the vapour retarder says of 1/300; None where no vents are asked for."""
    barred: tuple[Said, ...] = ()
    """Why the vents themselves do not let 1/300 through, whatever the retarder; empty where they do."""

    @property
    def exhaust_above_sqin(self) -> Fraction:
        """Return by how much exhaust exceeds intake; zero where it does not, or one is not known."""
        if self.exhaust_sqin is None or self.intake_sqin is None:
            return Fraction(0)
        return max(Fraction(0), self.exhaust_sqin - self.intake_sqin)


def _shortfalls(required: Fraction, exhaust: Fraction, intake: Fraction) -> tuple[Fraction, ...]:
    """Return what exhaust and intake miss of 40 and 50 percent of the required area."""
    return (
        max(Fraction(0), required * UPPER_LOW_SHARE - exhaust),
        max(Fraction(0), required * UPPER_HIGH_SHARE - intake),
    )


_FORMULA = "exhaust ≥ 40 % and intake ≥ 50 % of the required area, exhaust ≤ intake"


def check_space(
    space: AtticSpace,
    edition: int,
    zone: int | None,
    ridge_vent_sqin_per_ft: Exact | None = None,
    soffit_vent_sqin_per_ft: Exact | None = None,
) -> SpaceCheck:
    """Return the verdict on one attic space.

    Pass: exhaust at least 40 percent and intake at least 50 percent of the required area, and
    exhaust not above intake. 1/300 is taken where its vents are so parted, high enough, and the zone
    (6 to 8) does not ask for a retarder that is not there; else 1/150 holds and is what the space is
    short of. With an unknown retarder there, 1/150 is tried first; a space short of it that would do
    at 1/300 is “cannot tell”. Exhaust above intake is unbalanced where the whole is enough.
    Source: IRC R806.2 for the totals and, at 1/300, for the shares. To part 1/150 by the same shares, and
    to take more on both sides as enough, is common practice, no published source; what the code's own
    words give is reported as a note.
    """
    _checked(zone, space.retarder)
    nothing = Fraction(0)
    if not space.vented:
        line = Working(_FORMULA, "unvented by design", "IRC R806.5", "from memory")
        return SpaceCheck(
            space.name, "not applicable", None, None, nothing, nothing, None, None, (), (), line
        )
    needs = blank(
        (AREA, space.area_sqft), (EXHAUST, space.exhaust_sqin), (INTAKE, space.intake_sqin)
    )
    area = None if space.area_sqft is None else above_zero(space.area_sqft, "attic area")
    exhaust, intake = (
        None if value is None else not_below_zero(value, name)
        for name, value in (("exhaust", space.exhaust_sqin), ("intake", space.intake_sqin))
    )
    ground = _ground(edition, zone, space.retarder)
    if area is None or exhaust is None or intake is None:
        return SpaceCheck(
            space.name,
            *("cannot tell", None, None, nothing, nothing, None, None),
            needs,
            _mixed(space),
            Working(_FORMULA, needed(needs), _source(edition, None), "from memory"),
            exhaust,
            intake,
            _asks(area, ground.lets),
            ground=ground,
        )
    check = _judged(space, area, exhaust, intake, edition, ground)
    return replace(
        check,
        exhaust_short_ft=_in_feet(
            check.exhaust_short_sqin, ridge_vent_sqin_per_ft, "ridge vent per foot"
        ),
        intake_short_ft=_in_feet(
            check.intake_short_sqin, soffit_vent_sqin_per_ft, "soffit vent per foot"
        ),
    )


def _mixed(space: AtticSpace) -> tuple[Said, ...]:
    """Return the note on more than one kind of exhaust in a space."""
    kinds = tuple(map(Product, sorted(set(space.exhaust_kinds))))
    if len(kinds) < 2:
        return ()
    return (say("Mixed kinds of exhaust in one space: {kinds}.", kinds=Listed(kinds, ", ")),)


def _judged(
    space: AtticSpace,
    area: Fraction,
    exhaust: Fraction,
    intake: Fraction,
    edition: int,
    ground: Ground,
) -> SpaceCheck:
    """Return the verdict on a space whose figures are all known; the shortfalls not yet in feet."""
    barred = _barred(required_sqin(area, REDUCED_RATIO), exhaust, intake)
    if space.upper_high is False:
        text = "the high vents sit more than {drop} ft below the highest point"
        barred += (say(text, drop=UPPER_DROP_FT),)
    reduced = False if barred else ground.lets
    if reduced and space.upper_high is None:
        reduced = None
    ratio = REDUCED_RATIO if reduced else FULL_RATIO
    required = required_sqin(area, ratio)
    exhaust_short, intake_short = _shortfalls(required, exhaust, intake)
    verdict: Verdict = "pass"
    needs: list[str] = []
    if reduced is None and (exhaust_short or intake_short):
        verdict = "cannot tell"
        needs = [RETARDER] if ground.lets is None else []
        needs += [ZONE] if ground.lets is None and ground.zone is None else []
        needs += [UPPER_DROP] if space.upper_high is None else []
    elif exhaust > intake and exhaust + intake >= required:
        verdict = "unbalanced"
    elif exhaust_short or intake_short:
        verdict = "short"
    words, shares, met = _literal_note(area, exhaust, intake, edition, ground.zone, space)
    literal = say("{words!c}. {shares!c}.", words=words, shares=shares)
    least_high, least_low = required * UPPER_LOW_SHARE, required * UPPER_HIGH_SHARE
    return SpaceCheck(
        space.name,
        verdict,
        ratio,
        required,
        exhaust_short,
        intake_short,
        None,
        None,
        tuple(needs),
        (*_mixed(space), literal),
        Working(
            _FORMULA,
            say(
                "{area} × 144 ÷ {ratio} = {required}; exhaust {exhaust} of {least_high}, intake {intake} of "
                "{least_low}",
                area=Number(area, "sq ft", 2),
                ratio=ratio,
                required=Number(required, "sq in", 2),
                exhaust=Number(exhaust, "", 2),
                least_high=Number(least_high, "", 2),
                intake=Number(intake, "", 2),
                least_low=Number(least_low, "sq in", 2),
            ),
            _source(edition, ratio),
            "from memory",
        ),
        exhaust,
        intake,
        _asks(area, None) if verdict == "cannot tell" else (asks_at(area, ratio),),
        (words, shares),
        words if met else None,
        ground,
        barred,
    )


def _barred(reduced: Fraction, exhaust: Fraction, intake: Fraction) -> tuple[Said, ...]:
    """Return why the parting of an area required at 1/300 does not hold; empty where it does."""
    exhaust_short, intake_short = _shortfalls(reduced, exhaust, intake)
    found = []
    if exhaust_short:
        text = "exhaust is {short} below 40 % of what 1/300 asks for"
        found.append(say(text, short=Number(exhaust_short, "sq in")))
    if intake_short:
        text = "intake is {short} below 50 % of what 1/300 asks for"
        found.append(say(text, short=Number(intake_short, "sq in")))
    if exhaust > intake:
        found.append(say("exhaust is {more} above intake", more=Number(exhaust - intake, "sq in")))
    return tuple(found)


def _source(edition: int, ratio: int | None) -> Said:
    """Return whose rule the verdict's formula is; ratio: None where none was settled on."""
    if ratio == REDUCED_RATIO:
        rule = "IRC {edition} R806.2; more on both sides as enough: {practice}"
    elif ratio:
        rule = "IRC {edition} R806.2 for the total; the rest: {practice}"
    else:
        rule = "IRC {edition} R806.2 for the total and, at 1/300, its parting; the rest: {practice}"
    return say(rule, edition=edition, practice=say("common practice, no published source"))


def _asks(area: Fraction | None, reduced: bool | None) -> tuple[Asks, ...]:
    """Return what is asked for at each ratio that may hold. reduced: whether 1/300 does, None: not known."""
    if area is None:
        return ()
    ratios = {True: (REDUCED_RATIO,), False: (FULL_RATIO,), None: (REDUCED_RATIO, FULL_RATIO)}
    return tuple(asks_at(area, ratio) for ratio in ratios[reduced])


def _in_feet(short: Fraction, per_ft: Exact | None, name: str) -> Fraction | None:
    return None if per_ft is None else short / above_zero(per_ft, name)


def _literal_note(
    area: Fraction,
    exhaust: Fraction,
    intake: Fraction,
    edition: int,
    zone: int | None,
    space: "AtticSpace",
) -> tuple[Said, Said, bool | None]:
    """Return what the code's words give, both readings of the share, and whether the words are met.

    Two clauses; None where the ratio cannot be told.
    """
    at_reduced = required_sqin(area, REDUCED_RATIO)
    total = exhaust + intake
    share = exhaust / at_reduced
    literal = literal_ratio(edition, zone, space.retarder, share, space.upper_high)
    if total:
        text = "exhaust is {asked} of the area asked for at 1/300, {there} of the area there"
        shares = say(text, asked=Share(share, 2), there=Share(exhaust / total, 2))
    else:
        text = "exhaust is {asked} of the area asked for at 1/300, none is there"
        shares = say(text, asked=Share(share, 2))
    if literal.ratio is None:
        text = "by the code’s words alone: cannot tell the ratio ({needs})"
        return say(text, needs=Listed(literal.needs, ", ")), shares, None
    required = required_sqin(area, literal.ratio)
    met = total >= required
    text = "by the code’s words alone: 1/{ratio}, {needed} sq in in all, not met with {total}"
    if met:
        text = "by the code’s words alone: 1/{ratio}, {needed} sq in in all, met with {total}"
    in_all, there = Number(required, "", 2), Number(total, "", 2)
    return say(text, ratio=literal.ratio, needed=in_all, total=there), shares, met
