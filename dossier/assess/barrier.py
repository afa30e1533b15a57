"""How far the ice barrier of a slope was laid by the record, and whether anybody measured it.

In: a case, one slope, its length. Out: `Laid`. Must not know what is asked for: `assess/roof.py` compares the two.
"""

from dataclasses import dataclass
from fractions import Fraction

from dossier.case.case import Case
from dossier.punchlist import Where
from dossier.record.roof import Slope
from dossier.said import NOT_ON_RECORD, Count, Inches, Said, Slopes, joined, say
from dossier.trade import ice_barrier
from dossier.words import Role


@dataclass(frozen=True)
class Laid:
    """The barrier of one slope. Lengths in inches, along the slope, fascia wrap included.

    reach_in: None where it cannot be told. courses: None where not on record, and on a slope covered whole.
    roll_in: the one width of the rolls on record, only where the reach was worked out from it. whole: the
    record says that it covers the slope. measured: the reach is on record itself, or the slope is covered whole.
    field: dotted field of the record that it comes from. roll_field: of the delivery that names the roll.
    """

    reach_in: Fraction | None
    courses: int | None
    roll_in: Fraction | None
    whole: bool
    measured: bool
    field: str
    roll_field: str

    @property
    def text(self) -> Said:
        """Return what the record says of it, in words: never a measure that nobody took."""
        if self.roll_in is not None and self.courses is not None:
            return courses_text(self.courses, self.roll_in)
        if self.reach_in is not None:
            return say("{reach}", reach=Inches(self.reach_in))
        if self.courses is not None:
            text = "{courses}; the width of the roll is not on record"
            return say(text, courses=_counted(self.courses))
        return NOT_ON_RECORD

    def inputs(self, case: Case) -> tuple[tuple[str, Said, Where], ...]:
        """Return what a figure on it was worked out from, each with its place."""
        laid = (("laid", self.text, case.where(self.field)),)
        if self.roll_in is None:
            return laid
        roll = say("{width}, by the catalogue", width=Inches(self.roll_in))
        return (*laid, ("roll width", roll, case.where(self.roll_field)))


def courses_text(courses: int, roll_in: Fraction) -> Said:
    """Return courses and roll as words: 1 course of a 36 in roll, so 36 in at most; not measured.

    The usual lap of 4 in is the least, and a roll that hangs over the edge reaches less far: hence “at most”.
    """
    return say(
        "{courses} of a {roll} roll, so {most} at most; not measured",
        courses=_counted(courses),
        roll=Inches(roll_in),
        most=Inches(ice_barrier.covered_by(courses, roll_in).covered_in),
    )


def laid_on(case: Case, slope: Slope, path: str, length_ft: Fraction | None) -> Laid:
    """Return the barrier of a slope: the slope's own words first, measured before worked out.

    path: of the slope. length_ft: of the slope, eave to top; None where not known.
    """
    if slope.ice_barrier_whole:
        length_in = None if length_ft is None else length_ft * 12
        return Laid(length_in, None, None, True, True, f"{path}.ice_barrier_whole", "")
    courses, reach, at = slope.ice_barrier_courses, slope.ice_barrier_reach_in, path
    if courses is None and reach is None:
        courses, reach = laid_all_over(case)
        at = "installation"
    if reach is not None or courses is None:
        measured = reach is not None
        return Laid(reach, courses, None, False, measured, f"{at}.ice_barrier_reach_in", "")
    field = f"{at}.ice_barrier_courses"
    if courses == 0:
        return Laid(Fraction(0), 0, None, False, True, field, "")
    roll = roll_width(case)
    if roll is None:
        return Laid(None, courses, None, False, False, field, "")
    width, roll_field = roll
    covered = ice_barrier.covered_by(courses, width).covered_in
    return Laid(covered, courses, width, False, False, field, roll_field)


def laid_all_over(case: Case) -> tuple[int | None, Fraction | None]:
    """Return the courses and the reach that the record names for the whole roof."""
    installation = case.job.installation
    if installation is None:
        return None, None
    return installation.ice_barrier_courses, installation.ice_barrier_reach_in


def roll_width(case: Case) -> tuple[Fraction, str] | None:
    """Return the width of the ice barrier's rolls with the first line that brought one.

    By the catalogue; None where no roll has one, or two differ.
    """
    found = [
        (material.product.roll_width_in, material.path)
        for material in case.materials_of(Role.ICE_BARRIER)
        if material.product and material.product.roll_width_in
    ]
    return found[0] if len({width for width, _ in found}) == 1 else None


def whole_slopes(case: Case) -> list[str]:
    """Return the slopes that the barrier covers whole, by the record."""
    return [slope.label for slope in case.job.slopes if slope.ice_barrier_whole]


def barrier_words(case: Case, *, from_eave: bool = True) -> Said | None:
    """Return how far the barrier goes, by the record: 2 courses, 68 in up the slope, the whole of slope porch.

    None where the record says neither courses nor reach for the whole roof, nor that it covers a slope whole.
    from_eave: whether the words themselves say where the reach is counted from.
    """
    whole = whole_slopes(case)
    parts = [_all_over_words(case, from_eave=from_eave)]
    if whole:
        parts.append(say("the whole of {slopes}", slopes=Slopes(tuple(whole))))
    told = [part for part in parts if part is not None]
    return joined(told, ", ") if told else None


def _all_over_words(case: Case, *, from_eave: bool) -> Said | None:
    courses, reach = laid_all_over(case)
    if reach is not None:
        text = "{reach} up the slope from the eave" if from_eave else "{reach} up the slope"
        up = say(text, reach=Inches(reach))
        return up if courses is None else say("{courses}, {up}", courses=_counted(courses), up=up)
    if courses is None:
        return None
    roll = roll_width(case)
    if roll and courses:
        return courses_text(courses, roll[0])
    return say("{courses}", courses=_counted(courses))


def _counted(courses: int) -> Count:
    return Count(courses, "course")
