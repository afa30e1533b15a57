"""What is said of one attic space: its vents low and high, what the code asks for, the verdict.

In: a case for one reader and its assessment. Out: the two `Side`s of a space, and sentences. Must not judge:
areas, what is asked for and the verdict are the assessment's. Must not accuse: attic vents are not part of a
re-roof unless a place says so.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.compose.shared import NOT_ON_RECORD, capital, sentence
from dossier.record.people import Vent
from dossier.values import clip, listed, write_area, write_feet, write_number, write_share
from dossier.words import AtticKind

NOTES = (
    "Net free area is the opening that a vent leaves for air, as printed on the product.",
    "Schematic and not to scale: one gable stands for any roof. An arrow says that a vent is on record "
    "there, not how many there are nor where each sits.",
)
"""What is said once, below the last drawing."""

_MORE_IS_ENOUGH = (
    "More than that on both sides is taken as enough, as long as no more is high than low. So read, the code "
    "is common practice, with no published source."
)
_NAME_LETTERS, _PLACE_LETTERS, _TITLE_LETTERS = 60, 80, 200


@dataclass(frozen=True)
class Side:
    """The vents of one side of a space.

    reason: why there are none, where the record says so. sqin: their net free area in square inches, None
    where not known. asked: each ratio that may hold and the least wanted here in square inches, least first.
    """

    name: str
    vents: tuple[Vent, ...]
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
        """Return the vents in words, or why there are none."""
        return vent_words(self.vents) if self.vents else self.reason

    @property
    def sentence(self) -> str:
        """Return what the drawing shows of this side, marks and all."""
        parts = [f"{self.name.lower()}: {self.figure}"]
        if self.told:
            parts.append(f"({clip(self.told, _TITLE_LETTERS)})")
        marks = [f"at least {write_number(sqin)} at 1/{ratio}" for ratio, sqin in self.asked]
        return " ".join([*parts, f"against {listed(marks, 'or')}"] if marks else parts)


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
        self.name = f"attic {clip(attic.space, _NAME_LETTERS)}"
        self.size = (
            NOT_ON_RECORD if attic.floor_area_sqft is None else write_area(attic.floor_area_sqft)
        )
        path, asks = f"building.attics.{number}", self._check.asks
        self.high = Side(
            "High, air out",
            attic.exhaust,
            case.reason_not(f"{path}.exhaust") or "",
            self._check.exhaust_sqin,
            tuple((one.ratio, one.parted.upper_least_sqin) for one in asks),
        )
        self.low = Side(
            "Low, air in",
            attic.intake,
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
        """Return the assessment's verdict in words, with its figures."""
        check = self._check
        if self.unvented:
            return f"{capital(self.name)} is unvented by its design, by the record: no vents are looked for."
        short = [
            f"{side} is {write_number(sqin)} sq in below the least asked for"
            for side, sqin in (
                ("high", check.exhaust_short_sqin),
                ("low", check.intake_short_sqin),
            )
            if sqin
        ]
        words = {
            "pass": "both sides have at least what is marked, and no more is high than low",
            "short": listed(short),
            "unbalanced": f"{write_number(check.intake_short_sqin)} sq in more is high than low",
            "cannot tell": f"to tell, this record would need {listed(check.needs)}",
        }.get(check.verdict, "")
        against = "Vents against the marks" if check.asks else "Vents"
        return sentence(f"{against}: {check.verdict}" + (f"; {words}" if words else ""))

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
        parted = [one.parted for one in asks]
        ratios = " or ".join(f"1/{one.ratio}" for one in asks)
        areas = " or ".join(write_number(one.required_sqin) for one in asks)
        high = " or ".join(_span(one.upper_least_sqin, one.upper_most_sqin) for one in parted)
        low = " or ".join(_span(one.lower_least_sqin, one.lower_most_sqin) for one in parted)
        whole = asks[0].required_sqin
        least, most = (
            write_share(part / whole)
            for part in (parted[0].upper_least_sqin, parted[0].upper_most_sqin)
        )
        which = "" if len(asks) == 1 else "; which of the two cannot be told from this record"
        return (
            f"The marks follow {code}: net free area of {ratios} of the attic’s floor, {areas} sq in{which}. "
            f"Of that, {least.removesuffix(' %')} to {most} is to be high, {high} sq in, and the rest low, {low} "
            f"sq in. {_MORE_IS_ENOUGH}"
        )

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


def _span(least: Fraction, most: Fraction) -> str:
    return f"{write_number(least)} to {write_number(most)}"
