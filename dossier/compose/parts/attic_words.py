"""What is said of one attic space: its vents low and high, what the code asks for, the verdict.

In: a case for one reader and its assessment. Out: the two `Side`s of a space, and sentences. Must not judge:
areas, what is asked for and the verdict are the assessment's. Must not give practice as the code's word. Must
not accuse: attic vents are not part of a re-roof unless a place says so.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.attics import high_and_low, vent_area_each
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.compose.parts.shared import NOT_ON_RECORD, capital, sentence
from dossier.record.people import Vent
from dossier.said import Listed, say
from dossier.values import clip, listed, write_area, write_feet, write_number, write_share
from dossier.words import AtticKind

NOTES = (
    "Net free area is the opening that a vent leaves for air.",
    "Schematic and not to scale: one gable stands for any roof. An arrow says that a vent is on record "
    "there, not how many there are nor where each sits.",
)
"""What is said once, below the last drawing."""

_PRACTICE = "common practice with no published source"
_MORE_IS_ENOUGH = f"To take more on both sides as enough is {_PRACTICE}."
_TIGHT = "class I or II"
_PARTED_BY_CODE = 300
"""The ratio at which the code itself says how much is to be high; the parting of 1/150 is common practice."""

_NAME_LETTERS, _PLACE_LETTERS, _TITLE_LETTERS = 60, 80, 200


@dataclass(frozen=True)
class Side:
    """The vents of one side of a space.

    sources: each vent with its net free area and where that comes from. reason: why there are none, where the
    record says so. sqin: their net free area in square inches, None where not known. asked: each ratio that may
    hold and the least wanted here in square inches, least first.
    """

    name: str
    vents: tuple[Vent, ...]
    sources: tuple[str, ...]
    reason: str
    sqin: Fraction | None
    asked: tuple[tuple[int, Fraction], ...]

    @property
    def lets_air(self) -> bool:
        """Return whether a vent is on record here whose area is not nought."""
        return bool(self.vents) and self.sqin != 0

    @property
    def figure(self) -> str:
        """Return the net free area in words."""
        if not self.vents:
            return "none, by the record" if self.reason else NOT_ON_RECORD
        return f"area {NOT_ON_RECORD}" if self.sqin is None else f"{write_number(self.sqin)} sq in"

    @property
    def told(self) -> str:
        """Return the vents in words, each with where its area comes from, or why there are none."""
        return "; ".join(self.sources) if self.vents else self.reason

    @property
    def sentence(self) -> str:
        """Return what the drawing shows of this side, marks and all."""
        parts = [f"{self.name.lower()}: {self.figure}"]
        if self.told:
            parts.append(f"({clip(self.told, _TITLE_LETTERS)})")
        marks = [f"at least {write_number(sqin)} at {mark_of(ratio)}" for ratio, sqin in self.asked]
        return " ".join([*parts, f"against {listed(marks, 'or')}"] if marks else parts)


def mark_of(ratio: int) -> str:
    """Return the ratio of a mark; where the code parts nothing, with the word that practice does."""
    return f"1/{ratio}" if ratio == _PARTED_BY_CODE else f"1/{ratio}, by practice"


def _source_of(case: Case, vent: Vent) -> str:
    """Return a vent with its net free area and whose figure that is."""
    told = vent_words((vent,))
    if vent.length_ft is None and vent.count is None:
        told += ", how many not on record"
    sqin = vent_area_each(case, vent)
    if sqin is None:
        return f"{told}: area {NOT_ON_RECORD}"
    unit = "each" if vent.length_ft is None else "a foot"
    typed = vent.net_free_area_sqin is not None
    whose = "as the office wrote it" if typed else "by the catalogue"
    return f"{told}: {write_number(sqin)} sq in {unit}, {whose}"


def vent_words(vents: tuple[Vent, ...]) -> str:
    """Return vents as the record counts them, such as “36 ft Highdraft ridge vent”; empty without one."""
    parts = []
    for vent in vents:
        if vent.length_ft is not None:
            parts.append(f"{write_feet(vent.length_ft)} {vent.product}")
        elif vent.count is not None:
            parts.append(f"{vent.count} {vent.product}")
        else:
            parts.append(vent.product)
    return listed(parts)


class Space:
    """One attic space in words. number: its place in the record, from nought."""

    def __init__(self, case: Case, assessment: Assessment, number: int) -> None:
        building = case.job.building
        assert building is not None, "an attic space belongs to a building"
        self._case, self._check = case, assessment.attics[number]
        attic = building.attics[number]
        self.unvented = attic.kind is AtticKind.UNVENTED
        self._retarder = attic.vapour_retarder
        self.name = f"attic {clip(attic.space, _NAME_LETTERS)}"
        self.size = (
            NOT_ON_RECORD if attic.floor_area_sqft is None else write_area(attic.floor_area_sqft)
        )
        path, asks = f"building.attics.{number}", self._check.asks
        high, low = high_and_low(case, attic)
        self.high = Side(
            "High, air out",
            high,
            tuple(_source_of(case, vent) for vent in high),
            case.reason_not(f"{path}.exhaust") or "",
            self._check.exhaust_sqin,
            tuple((one.ratio, one.parted.upper_least_sqin) for one in asks),
        )
        self.low = Side(
            "Low, air in",
            low,
            tuple(_source_of(case, vent) for vent in low),
            case.reason_not(f"{path}.intake") or "",
            self._check.intake_sqin,
            tuple((one.ratio, one.parted.lower_least_sqin) for one in asks),
        )

    @property
    def drawn(self) -> bool:
        """Return whether anything is on record that a drawing could show."""
        known = (self.high.told, self.low.told, self._check.asks)
        return not self.unvented and any(known)

    @property
    def title(self) -> str:
        """Return in words what the drawing shows."""
        told = f"{self.name}, floor {self.size}; {self.high.sentence}; {self.low.sentence}"
        return f"Schematic section, not to scale: {told}. {self.finding}"

    @property
    def finding(self) -> str:
        """Return the assessment's verdict in words, with its figures.

        Beside a verdict that finds fault stands how the code's own words read, where these are met.
        """
        check = self._check
        if self.unvented:
            return f"{capital(self.name)} is unvented by its design, by the record: no vents are looked for."
        short = [
            f"{side} is {write_number(sqin)} sq in below its mark"
            for side, sqin in (
                ("high", check.exhaust_short_sqin),
                ("low", check.intake_short_sqin),
            )
            if sqin
        ]
        words = {
            "pass": "both sides have at least what is marked, and no more is high than low",
            "short": listed(short),
            "unbalanced": f"{write_number(check.exhaust_above_sqin)} sq in more is high than low",
            "cannot tell": f"to tell, this record would need {listed(check.needs)}",
        }.get(check.verdict, "")
        against = "Vents against the marks" if check.asks else "Vents"
        found = sentence(f"{against}: {check.verdict}" + (f"; {words}" if words else ""))
        if check.verdict in ("short", "unbalanced") and check.met_by_words:
            found += str(say(" {words!c}.", words=check.met_by_words))
        return found

    def sentences(self) -> Iterator[str]:
        """Yield what the code asks for, and whether vents are part of a re-roof."""
        if self.unvented:
            return
        yield self._asks()
        if self._check.verdict != "pass":
            yield self._scope()

    def _asks(self) -> str:
        code = f"the code ({self._case.locality.code.value}, section R806.2)"
        asks = self._check.asks
        if not asks:
            return (
                f"What {code} asks for cannot be told: the attic’s floor area is {NOT_ON_RECORD}."
            )
        if len(asks) > 1:
            return self._either(code)
        (one,) = asks
        whole = f"1/{one.ratio} of the attic’s floor, {write_number(one.required_sqin)} sq in"
        if one.ratio == _PARTED_BY_CODE:
            return (
                f"The marks follow {code}: net free area of {whole}, {self._let_through()}. Of that, "
                f"{self._high_and_low(0)}. {_MORE_IS_ENOUGH}"
            )
        high, low = one.parted.upper_least_sqin, one.parted.lower_least_sqin
        return (
            f"By {code} net free area is to be {whole} in all: {self._not_let_through()}. To ask for "
            f"{write_share(high / one.required_sqin)} of it high and {write_share(low / one.required_sqin)} low, "
            f"as marked, and to take more on both sides as enough, is {_PRACTICE}."
        )

    def _either(self, code: str) -> str:
        """Return what is asked for where two ratios may hold, the least first."""
        least, most = self._check.asks
        one, other = write_number(least.required_sqin), write_number(most.required_sqin)
        return (
            f"By {code} net free area is to be 1/{least.ratio} of the attic’s floor, {one} sq in, or "
            f"1/{most.ratio}, {other} sq in; which of the two cannot be told: {self._lacking()}. "
            f"At 1/{least.ratio}, {self._high_and_low(0)}. To part 1/{most.ratio} in the same way, and to take "
            f"more on both sides as enough, is {_PRACTICE}."
        )

    def _high_and_low(self, number: int) -> str:
        """Return how the least or only total is parted."""
        one = self._check.asks[number]
        parted, whole = one.parted, one.required_sqin
        least = write_share(parted.upper_least_sqin / whole).removesuffix(" %")
        most = write_share(parted.upper_most_sqin / whole)
        return (
            f"{least} to {most} is to be high, {_span(parted.upper_least_sqin, parted.upper_most_sqin)} sq in, "
            f"and the rest low, {_span(parted.lower_least_sqin, parted.lower_most_sqin)} sq in"
        )

    def _let_through(self) -> str:
        """Return the ground on which 1/300 was taken."""
        ground = self._check.ground
        assert ground is not None, "where something is asked for, its ground is known"
        if ground.lets is None:
            return f"the least that may hold ({self._lacking()})"
        if ground.zone_asks is False:
            return f"for which climate zone {ground.zone} needs no vapour retarder"
        held = f"as the vapour retarder on record is {ground.retarder}"
        if ground.zone is None:
            return f"{held}, which does in any climate zone"
        return f"{held} and climate zone {ground.zone} needs {_TIGHT}"

    def _not_let_through(self) -> str:
        """Return why 1/150 was taken."""
        ground = self._check.ground
        assert ground is not None, "where something is asked for, its ground is known"
        if ground.lets is not False and self._check.barred:
            return str(Listed(self._check.barred))
        if ground.lets is None:
            return self._lacking()
        held = (
            "by the record there is none"
            if ground.retarder == "none"
            else f"{ground.retarder} is on record"
        )
        return f"{_needs(ground.zone)}, and {held}"

    def _lacking(self) -> str:
        """Return what is not on record of that on which 1/300 hangs."""
        ground = self._check.ground
        assert ground is not None, "where something is asked for, its ground is known"
        if ground.zone is None and ground.retarder is None:
            return "neither vapour retarder nor climate zone is on record"
        if ground.zone is None:
            return f"the climate zone is {NOT_ON_RECORD}"
        return f"{_needs(ground.zone)}, and its class is {NOT_ON_RECORD}"

    def _scope(self) -> str:
        place = self._case.locality
        named = place.vents_hold_permit
        says = (
            f"names such a rule: {clip(named, _PLACE_LETTERS)}" if named else "names no such rule"
        )
        return (
            "By the code, attic vents are not part of a re-roof unless a place has made them so. The sheet of "
            f"{clip(place.name, _PLACE_LETTERS)} {says}."
        )


def _needs(zone: int | None) -> str:
    return f"for 1/{_PARTED_BY_CODE} climate zone {zone} needs a vapour retarder of {_TIGHT}"


def _span(least: Fraction, most: Fraction) -> str:
    return f"{write_number(least)} to {write_number(most)}"
