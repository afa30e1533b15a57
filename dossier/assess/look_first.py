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
from dossier.said import (
    NOT_ON_RECORD,
    Count,
    Feet,
    Inches,
    Listed,
    Number,
    Person,
    Product,
    Said,
    Slopes,
    Value,
    say,
)
from dossier.words import AtticKind, Backing, EntryKind, Phase, Role


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

    text: Said
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
    kind: Said | EntryKind
    text: Said | None


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


def _absent(text: str, /, **values: Value) -> Finding:
    return Finding(say(text, **values), Backing.ABSENT)


def _stated(text: str, /, **values: Value) -> Finding:
    return Finding(say(text, **values), Backing.STATED)


def _judged(text: str, /, **values: Value) -> Finding:
    return Finding(say(text, **values), Backing.STATED, judges=True)


_NO_LOOK = say("nobody’s look is on record")


def _signed(what: Said, one: Signed | None, absent: Said = _NO_LOOK) -> Finding:
    if one is None or not one.by:
        return _absent("{what}: {absent}.", what=what, absent=absent)
    return _stated(
        "{what}: seen by {name}{when}{note}.",
        what=what,
        name=Person(one.by),
        when=say(" on {day}", day=one.on) if one.on else say(", day not on record"),
        note=say(" ({note})", note=one.note) if one.note else "",
    )


_BY_PHASE = say("not noted separately")
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

    def _photos(self, phase: Phase, what: Said) -> Finding:
        """Return how many photos of a phase on these slopes open, and their best backing."""
        every = good_photos(self.case, self.facts, phase)
        found = [
            photo for photo in every if photo.slope is None or photo.slope in self.place.slopes
        ]
        if not found:
            # A ridge is shared by two slopes, and is pictured from one of them.
            others = Count(len(every), "photo")
            more: Said | str = say("; {photos} of other slopes", photos=others) if every else ""
            return _absent(
                "No photo of {what} on this slope is on file{more}.", what=what, more=more
            )
        reviewed = tuple(
            photo.reviewed.note
            for photo in found
            if photo.reviewed and photo.reviewed.by and photo.reviewed.on and photo.reviewed.note
        )
        photos = Count(len(found), "photo")
        if not reviewed:
            text = say("{photos} of {what} on file, not reviewed.", photos=photos, what=what)
            return Finding(text, Backing.ON_FILE)
        text = say(
            "{photos} of {what} on file; a named person noted: {notes}.",
            photos=photos,
            what=what,
            notes=Listed(reviewed, "; "),
        )
        return Finding(text, Backing.REVIEWED)

    def flashing(self) -> Iterator[Finding]:
        walls = [s for s in self.slopes if s.step_flashing_ft]
        chimneys = sum(len(s.chimneys) for s in self.slopes)
        for slope in walls:
            assert slope.step_flashing_ft is not None
            yield _stated(
                "{slope!c}: {length} along walls and chimneys, as measured.",
                slope=Slopes((slope.label,)),
                length=Feet(slope.step_flashing_ft),
            )
        if chimneys:
            crickets = [c for s in self.slopes for c in s.chimneys if c.cricket]
            yield _stated(
                "{chimneys} on record, {crickets} with a cricket.",
                chimneys=Count(chimneys, "chimney"),
                crickets=len(crickets),
            )
        if not walls and not chimneys:
            yield _stated("No wall or chimney that meets this slope is on record.")
        laid = self.case.job.installation
        if laid is None or laid.flashing is None:
            yield _absent("Whether flashing was replaced or kept is not on record.")
        else:
            yield _stated("Flashing, by the record: {state}.", state=laid.flashing)
        if any(s.eave_meets_wall for s in self.slopes):
            told = {s.kick_out for s in self.slopes if s.eave_meets_wall}
            kick = told.pop() if len(told) == 1 else None
            alone = sum(bool(s.eave_meets_wall) for s in self.case.job.slopes) == 1
            if kick is None and alone and laid:
                # The roof's one field answers for one place only.
                kick = laid.kick_out
            word = say({True: "set", False: "not set", None: "not on record"}[kick])
            yield _stated("An eave meets a wall here; kick-out: {word}.", word=word)
        if walls or chimneys or any(s.eave_meets_wall for s in self.slopes):
            yield self._photos(Phase.FLASHING, say("flashing"))

    def penetration(self) -> Iterator[Finding]:
        counted = [
            (s.label, s.penetrations, s.skylights)
            for s in self.slopes
            if s.penetrations is not None
        ]
        for label, pipes, lights in counted:
            there = [Count(pipes or 0, "pipe or vent", "pipes or vents")]
            there += [Count(lights, "skylight")] if lights else []
            yield _stated(
                "{slope!c}: {there} on record.", slope=Slopes((label,)), there=Listed(tuple(there))
            )
        if not counted:
            yield _absent("How many pipes and vents go through this slope is not on record.")
        boots = self.case.materials_of(Role.PIPE_BOOT)
        if boots:
            names = Listed(tuple(Product(boot.name) for boot in boots))
            yield _stated("Pipe boots delivered: {names}.", names=names)
        after = self.case.job.after_work
        yield _signed(say("Boots seated"), after.boots if after else None, _BY_PHASE)
        # One phase holds the pictures of walls, chimneys and pipes: they stand under both.
        yield self._photos(Phase.FLASHING, say("flashing, pipes and vents"))
        yield _signed(say("Flues connected and open"), after.flues if after else None)

    def valley(self) -> Iterator[Finding]:
        with_valley = [s for s in self.slopes if s.valley_ft]
        roof_has = any(s.valley_ft for s in self.case.job.slopes)
        if not with_valley:
            # A shared valley is written at one of its two slopes only.
            if not roof_has:
                yield _stated("No valley is measured at this slope.")
                return
            yield _stated(
                "No valley is measured at this slope; a valley is measured at another slope, and may lie "
                "between the two."
            )
        for slope in with_valley:
            assert slope.valley_ft is not None
            yield _stated(
                "{slope!c}: {length} of valley.",
                slope=Slopes((slope.label,)),
                length=Feet(slope.valley_ft),
            )
        laid = self.case.job.installation
        if laid and laid.valley_method:
            wide = laid.valley_lining_in
            yield _stated(
                "Valleys, by the record: {method}, {lining}.",
                method=laid.valley_method,
                lining=say("lining {wide} wide", wide=Inches(wide))
                if wide
                else say("width of the lining not on record"),
            )
        else:
            yield _absent("How valleys were laid is not on record.")

    def ice_dam(self) -> Iterator[Finding]:
        yield Finding(self.place.barrier_because, Backing.STATED)
        for slope in self.slopes:
            result = self.assessment.slope(slope.label)
            if result is None or result.reach is None or result.reach_check is None:
                continue
            asked = result.reach.required_in
            yield _judged(
                "{slope!c}: reach against the code on the locality’s sheet: {verdict}{needed}.",
                slope=Slopes((slope.label,)),
                verdict=say(result.reach_check.verdict),
                needed="" if asked is None else say(", {reach} asked for", reach=Inches(asked)),
            )
        yield self._photos(Phase.ICE_BARRIER, say("ice barrier"))

    def wind(self) -> Iterator[Finding]:
        wind = self.assessment.wind
        if wind is None or wind.material is None:
            yield _absent("The shingle’s wind class is not on record.")
        else:
            label = wind.material.wind_class or NOT_ON_RECORD
            yield _stated("Wind class on the wrapper: {label}.", label=label)
            yield _judged(
                "Wind class for this site: {verdict}{because}.",
                verdict=say(wind.verdict),
                because=say(" ({because})", because=wind.because) if wind.because else "",
            )
        laid = self.case.job.installation
        if laid and laid.starter_at:
            edges = Listed(tuple(laid.starter_at))
            yield _stated("Starter at {edges}, by the record.", edges=edges)
        else:
            yield _absent("Where starter was laid is not on record.")
        if laid and laid.lowest_air_f is not None:
            yield _stated(
                "Coldest air while laying {air}; sealed by hand: {sealed}.",
                air=Number(laid.lowest_air_f, "°F", 0),
                sealed=say({True: "yes", False: "no", None: "not on record"}[laid.hand_sealed]),
            )
        else:
            yield _absent("The air temperature while laying is not on record.")

    def nails(self) -> Iterator[Finding]:
        statement = self.assessment.statement("nails")
        if statement is None or statement.backing is Backing.ABSENT:
            yield _absent("How many nails hold each shingle is not on record.")
        else:
            backing = statement.on(self.place.asked.slope)
            yield Finding(say("{said}.", said=statement.text), backing)
        yield self._photos(Phase.HIP_AND_RIDGE, say("hip and ridge"))

    def condensation(self) -> Iterator[Finding]:
        building = self.case.job.building
        for attic, check in zip(
            building.attics if building else (), self.assessment.attics, strict=False
        ):
            if attic.kind is AtticKind.UNVENTED:
                yield _stated(
                    "Attic {space}: unvented by its design, by the record.", space=attic.space
                )
                continue
            yield _judged(
                "Attic {space}: net free area against the code: {verdict}.",
                space=attic.space,
                verdict=say(check.verdict),
            )
            yield _signed(
                say("Attic {space}, openings under the eaves clear", space=attic.space),
                attic.soffits_seen_clear,
            )
        if building is None or not building.attics:
            yield _absent("No attic space is on record.")
        after = self.case.job.after_work
        yield _signed(
            say("Bath, kitchen and dryer ducts led outdoors"), after.ducts if after else None
        )
        yield _signed(say("Baffles in place"), after.baffles if after else None, _BY_PHASE)

    def foot_traffic(self) -> Iterator[Finding]:
        for note in self.later:
            words: Said | str = say(": {words}", words=note.text) if note.text else ""
            yield _stated("{day}, {kind}{words}.", day=note.on, kind=note.kind, words=words)
        if not self.later:
            yield _absent(
                "The record holds nothing on anybody on this roof since it was closed out."
            )

    def manufacturing(self) -> Iterator[Finding]:
        shingles = [one for one in self.place.layers if one.role is Role.FIELD_SHINGLE]
        for layer in shingles:
            name = Product(layer.material.name)
            if layer.tie is Tie.NONE:
                yield _absent("{name}: no lot that lies here is on record.", name=name)
            else:
                text = say(
                    "{name}: {marks:lot|lots} {marks}; {tie}.",
                    name=name,
                    marks=Listed(tuple(lot.mark for lot in layer.lots)),
                    tie=layer.tie,
                )
                yield Finding(text, layer.backing)
            spare = layer.material.line.left_with_owner
            if spare:
                yield _stated("Spare left with the owner: {spare}.", spare=spare)
        if not shingles:
            yield _absent("No field shingle is on record.")
