"""Where to look first, in one fixed order, and what the record shows about each.

In: a case, facts, an assessment, the place and what was noted after close-out. Out: `Look`s. Must not rank,
weigh or name a cause: the order is the same on every roof, and what is wrong takes eyes on it. A roof that
has no valley says so; a record that says nothing says that. Order and groups: common practice, no
published source.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from dossier.assess.backing import good_photos
from dossier.assess.place import PlaceAnswer, Tie
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.record.roof import Slope
from dossier.record.signed import Signed
from dossier.values import listed, plural, write_date, write_feet, write_inches, write_number
from dossier.words import AtticKind, Backing, Phase, Role


class Spot(StrEnum):
    """The places to look, in the order in which they are always printed."""

    FLASHING = "flashing"
    PENETRATION = "penetration"
    VALLEY = "valley"
    ICE_DAM = "ice dam"
    WIND_LIFTED = "wind-lifted shingle"
    EXPOSED_NAIL = "exposed nail"
    CONDENSATION = "condensation"
    FOOT_TRAFFIC = "foot traffic and later work"
    MANUFACTURING = "manufacturing"


@dataclass(frozen=True)
class Finding:
    """One thing the record shows or does not. backing: absent where it shows nothing.

    judges: whether it holds a figure against a rule; the homeowner's edition leaves such ones out.
    """

    text: str
    backing: Backing
    judges: bool = False


@dataclass(frozen=True)
class Look:
    """One place to look, and what the record shows about it."""

    spot: Spot
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class NotedLater:
    """Something noted of the roof after it was closed out: on which day, what kind, in what words."""

    on: date
    kind: str
    text: str


def look_first(
    case: Case,
    facts: Facts,
    assessment: Assessment,
    place: PlaceAnswer,
    later: Iterable[NotedLater],
) -> tuple[Look, ...]:
    """Return the nine places in their fixed order with what this record shows about each."""
    shown = _Shown(case, facts, assessment, place, tuple(later))
    spots = {
        Spot.FLASHING: shown.flashing,
        Spot.PENETRATION: shown.penetration,
        Spot.VALLEY: shown.valley,
        Spot.ICE_DAM: shown.ice_dam,
        Spot.WIND_LIFTED: shown.wind,
        Spot.EXPOSED_NAIL: shown.nails,
        Spot.CONDENSATION: shown.condensation,
        Spot.FOOT_TRAFFIC: shown.foot_traffic,
        Spot.MANUFACTURING: shown.manufacturing,
    }
    return tuple(Look(spot, tuple(spots[spot]())) for spot in Spot)


def _absent(text: str) -> Finding:
    return Finding(text, Backing.ABSENT)


def _stated(text: str) -> Finding:
    return Finding(text, Backing.STATED)


def _judged(text: str) -> Finding:
    return Finding(text, Backing.STATED, judges=True)


def _signed(what: str, one: Signed | None, absent: str = "nobody’s look is on record") -> Finding:
    if one is None or not one.by:
        return _absent(f"{what}: {absent}.")
    when = f" on {write_date(one.on)}" if one.on else ", day not on record"
    note = f" ({one.note})" if one.note else ""
    return _stated(f"{what}: seen by {one.by}{when}{note}.")


_BY_PHASE = "not noted separately"
"""Of what is also seen with the phase it belongs to: the work log or a photo may show a look all the same."""


class _Shown:
    """What one record shows, spot by spot."""

    def __init__(
        self,
        case: Case,
        facts: Facts,
        assessment: Assessment,
        place: PlaceAnswer,
        later: tuple[NotedLater, ...],
    ) -> None:
        self.case, self.facts, self.assessment = case, facts, assessment
        self.place, self.later = place, later
        self.slopes: tuple[Slope, ...] = tuple(
            slope for slope in case.job.slopes if slope.label in place.slopes
        )

    def _photos(self, phase: Phase, what: str) -> Finding:
        """Return how many photos of a phase on these slopes open, and their best backing."""
        every = good_photos(self.case, self.facts, phase)
        found = [
            photo for photo in every if photo.slope is None or photo.slope in self.place.slopes
        ]
        if not found:
            # A ridge is shared by two slopes, and is pictured from one of them.
            more = f"; {plural(len(every), 'photo')} of other slopes" if every else ""
            return _absent(f"No photo of {what} on this slope is on file{more}.")
        reviewed = [
            photo.reviewed.note
            for photo in found
            if photo.reviewed and photo.reviewed.by and photo.reviewed.on and photo.reviewed.note
        ]
        text = f"{plural(len(found), 'photo')} of {what} on file"
        if not reviewed:
            return Finding(f"{text}, not reviewed.", Backing.ON_FILE)
        return Finding(f"{text}; a named person noted: {'; '.join(reviewed)}.", Backing.REVIEWED)

    def flashing(self) -> Iterator[Finding]:
        walls = [s for s in self.slopes if s.step_flashing_ft]
        chimneys = sum(len(s.chimneys) for s in self.slopes)
        for slope in walls:
            assert slope.step_flashing_ft is not None
            length = write_feet(slope.step_flashing_ft)
            yield _stated(f"Slope {slope.label}: {length} along walls and chimneys, as measured.")
        if chimneys:
            crickets = [c for s in self.slopes for c in s.chimneys if c.cricket]
            yield _stated(
                f"{plural(chimneys, 'chimney')} on record, {len(crickets)} with a cricket."
            )
        if not walls and not chimneys:
            yield _stated("No wall or chimney that meets this slope is on record.")
        laid = self.case.job.installation
        if laid is None or laid.flashing is None:
            yield _absent("Whether flashing was replaced or kept is not on record.")
        else:
            yield _stated(f"Flashing, by the record: {laid.flashing.value}.")
        if any(s.eave_meets_wall for s in self.slopes):
            told = {s.kick_out for s in self.slopes if s.eave_meets_wall}
            kick = told.pop() if len(told) == 1 else None
            alone = sum(bool(s.eave_meets_wall) for s in self.case.job.slopes) == 1
            if kick is None and alone and laid:
                # The roof's one field answers for one place only.
                kick = laid.kick_out
            word = {True: "set", False: "not set", None: "not on record"}[kick]
            yield _stated(f"An eave meets a wall here; kick-out: {word}.")
        if walls or chimneys or any(s.eave_meets_wall for s in self.slopes):
            yield self._photos(Phase.FLASHING, "flashing")

    def penetration(self) -> Iterator[Finding]:
        counted = [
            (s.label, s.penetrations, s.skylights)
            for s in self.slopes
            if s.penetrations is not None
        ]
        for label, pipes, lights in counted:
            said = [plural(pipes or 0, "pipe or vent", "pipes or vents")]
            said += [plural(lights, "skylight")] if lights else []
            yield _stated(f"Slope {label}: {listed(said)} on record.")
        if not counted:
            yield _absent("How many pipes and vents go through this slope is not on record.")
        boots = self.case.materials_of(Role.PIPE_BOOT)
        if boots:
            yield _stated(f"Pipe boots delivered: {listed([m.name for m in boots])}.")
        after = self.case.job.after_work
        yield _signed("Boots seated", after.boots if after else None, _BY_PHASE)
        # One phase holds the pictures of walls, chimneys and pipes: they stand under both.
        yield self._photos(Phase.FLASHING, "flashing, pipes and vents")
        yield _signed("Flues connected and open", after.flues if after else None)

    def valley(self) -> Iterator[Finding]:
        with_valley = [s for s in self.slopes if s.valley_ft]
        roof_has = any(s.valley_ft for s in self.case.job.slopes)
        if not with_valley:
            # A shared valley is written at one of its two slopes only.
            also = (
                "; a valley is measured at another slope, and may lie between the two"
                if roof_has
                else ""
            )
            yield _stated(f"No valley is measured at this slope{also}.")
            if not roof_has:
                return
        for slope in with_valley:
            assert slope.valley_ft is not None
            yield _stated(f"Slope {slope.label}: {write_feet(slope.valley_ft)} of valley.")
        laid = self.case.job.installation
        if laid and laid.valley_method:
            width = (
                f", lining {write_inches(laid.valley_lining_in)} wide"
                if laid.valley_lining_in
                else ", width of the lining not on record"
            )
            yield _stated(f"Valleys, by the record: {laid.valley_method.value}{width}.")
        else:
            yield _absent("How valleys were laid is not on record.")

    def ice_dam(self) -> Iterator[Finding]:
        yield _stated(self.place.barrier_because)
        for slope in self.slopes:
            result = self.assessment.slope(slope.label)
            if result is None or result.reach is None or result.reach_check is None:
                continue
            asked = result.reach.required_in
            needed = "" if asked is None else f", {write_inches(asked)} asked for"
            yield _judged(
                f"Slope {slope.label}: reach against the code on the locality’s sheet: "
                f"{result.reach_check.verdict}{needed}."
            )
        yield self._photos(Phase.ICE_BARRIER, "ice barrier")

    def wind(self) -> Iterator[Finding]:
        wind = self.assessment.wind
        if wind is None or wind.material is None:
            yield _absent("The shingle’s wind class is not on record.")
        else:
            label = wind.material.wind_class or "not on record"
            because = f" ({wind.because})" if wind.because else ""
            yield _stated(f"Wind class on the wrapper: {label}.")
            yield _judged(f"Wind class for this site: {wind.verdict}{because}.")
        laid = self.case.job.installation
        edges = listed([edge.value for edge in laid.starter_at]) if laid else ""
        if edges:
            yield _stated(f"Starter at {edges}, by the record.")
        else:
            yield _absent("Where starter was laid is not on record.")
        if laid and laid.lowest_air_f is not None:
            sealed = {True: "yes", False: "no", None: "not on record"}[laid.hand_sealed]
            yield _stated(
                f"Coldest air while laying {write_number(laid.lowest_air_f, 0)} °F; sealed by hand: {sealed}."
            )
        else:
            yield _absent("The air temperature while laying is not on record.")

    def nails(self) -> Iterator[Finding]:
        statement = self.assessment.statement("nails")
        if statement is None or statement.backing is Backing.ABSENT:
            yield _absent("How many nails hold each shingle is not on record.")
        else:
            yield Finding(f"{statement.text}.", statement.on(self.place.asked.slope))
        yield self._photos(Phase.HIP_AND_RIDGE, "hip and ridge")

    def condensation(self) -> Iterator[Finding]:
        building = self.case.job.building
        for attic, check in zip(
            building.attics if building else (), self.assessment.attics, strict=False
        ):
            if attic.kind is AtticKind.UNVENTED:
                yield _stated(f"Attic {attic.space}: unvented by its design, by the record.")
                continue
            yield _judged(f"Attic {attic.space}: net free area against the code: {check.verdict}.")
            yield _signed(
                f"Attic {attic.space}, openings under the eaves clear", attic.soffits_seen_clear
            )
        if building is None or not building.attics:
            yield _absent("No attic space is on record.")
        after = self.case.job.after_work
        yield _signed("Bath, kitchen and dryer ducts led outdoors", after.ducts if after else None)
        yield _signed("Baffles in place", after.baffles if after else None, _BY_PHASE)

    def foot_traffic(self) -> Iterator[Finding]:
        for note in self.later:
            words = f": {note.text}" if note.text else ""
            yield _stated(f"{write_date(note.on)}, {note.kind}{words}.")
        if not self.later:
            yield _absent(
                "The record holds nothing on anybody on this roof since it was closed out."
            )

    def manufacturing(self) -> Iterator[Finding]:
        shingles = [one for one in self.place.layers if one.role is Role.FIELD_SHINGLE]
        for layer in shingles:
            marks = listed([lot.mark for lot in layer.lots])
            if layer.tie is Tie.NONE:
                yield _absent(f"{layer.material.name}: no lot that lies here is on record.")
            else:
                word = "lot" if len(layer.lots) == 1 else "lots"
                yield Finding(
                    f"{layer.material.name}: {word} {marks}; {layer.tie.value}.", layer.backing
                )
            spare = layer.material.line.left_with_owner
            if spare:
                yield _stated(f"Spare left with the owner: {spare}.")
        if not shingles:
            yield _absent("No field shingle is on record.")
