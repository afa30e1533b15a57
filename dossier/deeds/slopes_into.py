"""Slopes from shapes or from a table held against the record, shown, and written into it.

In: figures of slopes, a job folder. Out: every figure beside what stands on record, the record as it would be;
then the record on disk. A blank is filled; what somebody typed stays unless it is asked for and was shown. An edge
of two slopes is written at one, as the record counts: where sums of a kind agree, nobody's way of sharing changes.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from hashlib import sha256
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.deeds.by_hand import change, drafted, shown
from dossier.disk.outputs import Holder
from dossier.errors import CannotWrite, UnreadableInput
from dossier.hand.file import Draft, Shown
from dossier.hand.means import Change
from dossier.reading.model import ALL, Lines, Model, Read, read_model, told
from dossier.reading.nodes import Mapping as Group
from dossier.reading.nodes import parse_tree
from dossier.reading.typed import Value
from dossier.record.people import Building
from dossier.record.read import newest_tree
from dossier.record.roof import Slope
from dossier.record.trees import JOB_FILE
from dossier.trade.geometry import area_from_plan
from dossier.values import Pitch, listed, write_area, write_feet, write_inches, write_number

LENGTHS = ("eave_ft", "rake_ft", "ridge_ft", "hip_ft", "valley_ft", "step_flashing_ft")
SHARED = ("ridge_ft", "hip_ft", "valley_ft")
WORDS = {
    **{"faces": "faces", "pitch": "pitch", "area": "area", "eave_ft": "eave", "rake_ft": "rakes"},
    **{"ridge_ft": "ridge", "hip_ft": "hips", "valley_ft": "valleys", "step_flashing_ft": "walls"},
    "overhang_in": "overhang",
}
_AREAS = ("area_sqft", "plan_area_sqft", "plan")
SAME_FT, _SAME_SQFT = Fraction(1, 20), Fraction(1)
"""What two figures may lie apart and be one: less than a tape reads. Common practice, no published source."""

MEASURED = Fraction(2, 100)
"""How far two measured areas of one slope may lie apart. Common practice, no published source."""
NO_EAVE = "n/a, no eave on this slope"
_MARK_HALF = 6


@dataclass(frozen=True)
class SlopeFigures:
    """One slope as shapes or a table have it. lengths_ft: by field of the record; what is not said is left out.

    size_ft: along the eave and up the run, of a rectangle in plan. area_sqft: along the slope, where that was
    measured. no_eave: whether it is known to have none. touches: slopes with which it has an edge, None where
    nobody said.
    """

    label: str
    faces: str = ""
    rise_in_12: Fraction | None = None
    size_ft: tuple[Fraction, Fraction] | None = None
    plan_sqft: Fraction | None = None
    area_sqft: Fraction | None = None
    lengths_ft: Mapping[str, Fraction] | None = None
    no_eave: bool = False
    touches: frozenset[str] | None = None

    def touching(self, labels: Collection[str]) -> bool:
        """Return whether it has, or may have, an edge with one of these slopes."""
        return self.touches is None or not self.touches.isdisjoint(labels)

    def length(self, field: str) -> Fraction | None:
        """Return a length; None where it is not said."""
        return (self.lengths_ft or {}).get(field)

    @property
    def sloped_sqft(self) -> Fraction | None:
        """Return the area along the slope; None where it cannot be told."""
        if self.area_sqft is not None or self.plan_sqft is None or self.rise_in_12 is None:
            return self.area_sqft
        return area_from_plan(self.plan_sqft, self.rise_in_12).area_sqft


class Stands(StrEnum):
    """How a figure stands against the record."""

    NEW = "new slope"
    FILLS = "fills a blank"
    SAME = "same"
    DIFFERS = "differs"


@dataclass(frozen=True)
class Held:
    """One figure beside the record. typed: as it stands there, empty for a blank."""

    slope: str
    field: str
    typed: str
    found: str
    stands: Stands


@dataclass(frozen=True)
class Into:
    """Slopes held against the record. untouched: slopes of the record that are none of these.

    draft: None where nothing would be written, or `refused` says why it cannot be.
    """

    folder: Path
    held: tuple[Held, ...]
    untouched: tuple[str, ...]
    shown: Shown
    changes: tuple[Change, ...]
    draft: Draft | None
    refused: str = ""

    @property
    def mark(self) -> str:
        """Return a short mark of what was shown: of the record as it is, then of it as it would be."""
        after = sha256(self.draft.after if self.draft else b"").hexdigest()
        return f"{self.shown.digest[:_MARK_HALF]}-{after[:_MARK_HALF]}"


class RoofTyped(Model):
    """What of a record tells of its roof; a job of which nothing else is typed yet has slopes too."""

    building: Building | None = told("The building.", readers=ALL)
    slopes: tuple[Slope, ...] = told("The slopes.", readers=ALL, default=())


def roof_typed(record: Shown) -> Read[RoofTyped]:
    """Return what a record says of its roof; raises UnreadableInput where the file cannot be read."""
    found = newest_tree(parse_tree(record.data or b"", JOB_FILE), RECORD_VERSION)
    if not isinstance(found.tree, Group):
        raise UnreadableInput(found.items[0].says, found.items[0].remedy)
    own = {
        name: found.tree.entries[name]
        for name in RoofTyped.model_fields
        if name in found.tree.entries
    }
    return read_model(Group(own, found.tree.line, found.tree.column), JOB_FILE, RoofTyped)


def held_against(
    folder: Path,
    slopes: Sequence[SlopeFigures],
    *,
    over_typed: bool = False,
    overhang_in: Fraction | None = None,
) -> Into:
    """Return slopes beside the record, and the record with them; nothing is written.

    overhang_in: of the house's eaves, where it was said. over_typed: whether they take the place of what was
    typed otherwise. Raises DossierError where the record cannot be read.
    """
    now = shown(folder, JOB_FILE)
    read = roof_typed(now)
    typed = read.needed.slopes
    places = _places(slopes, typed)
    held: list[Held] = []
    changes: list[Change] = []
    if overhang_in is not None:
        held.append(_overhang_beside(overhang_in, read))
        if held[0].stands is Stands.FILLS or (over_typed and held[0].stands is Stands.DIFFERS):
            changes.append(Change(("building", "overhang_in"), held[0].found))
    sums = _shared_sums(slopes, typed, places)
    # An edge that slopes on record carry already is not written at a new one.
    slopes = [one if one.label in places else _without(one, sums.elsewhere) for one in slopes]
    for slope in slopes:
        at = places.get(slope.label)
        if at is None:
            held += [Held(slope.label, name, "", text, Stands.NEW) for name, text in _told(slope)]
            continue
        own, fields = _beside(slope, typed[at], at, read.lines, sums.stands)
        held += own
        wanted = [
            one
            for one in own
            if one.stands is Stands.FILLS or (over_typed and one.stands is Stands.DIFFERS)
        ]
        areas = [name for name in _AREAS if getattr(typed[at], name) is not None] or [
            name for name in _AREAS if read.lines.reason_not(f"slopes.{at}.{name}") is not None
        ]
        changes += _changes(slope, at, wanted, (fields, areas))
    new = [slope for slope in slopes if slope.label not in places]
    if new:
        values: list[Value] = [_entry(slope) for slope in new]
        path = ("slopes", str(len(typed))) if typed else ("slopes",)
        changes.append(
            Change(path, values[0], tuple(values[1:])) if typed else Change(path, values)
        )
    untouched = tuple(one.label for at, one in enumerate(typed) if at not in places.values())
    refused = _refused(new, untouched)
    if not refused and not over_typed:
        refused = _counted_already(slopes, typed, places, sums.more)
    draft = None if refused or not changes else drafted(folder, JOB_FILE, now.digest, changes)
    if draft is not None and not draft.changes:
        draft = None
    return Into(folder, tuple(held), untouched, now, tuple(changes), draft, refused)


def write_slopes(into: Into, mark: str, holder: Holder | None = None) -> Draft:
    """Write what was shown by this mark; raises CannotWrite where it would be anything else by now."""
    if into.draft is None:
        raise CannotWrite(into.refused or "The record says so already.", "Nothing was written.")
    if mark != into.mark:
        changed = mark.partition("-")[0] != into.mark.partition("-")[0]
        raise CannotWrite(
            f"{JOB_FILE} was changed since these slopes were shown."
            if changed
            else "These are not the slopes that were shown.",
            "Nothing was written. Look at them again.",
        )
    return change(into.folder, JOB_FILE, into.shown.digest, into.changes, holder)


def _refused(new: Sequence[SlopeFigures], untouched: Sequence[str]) -> str:
    """Return why slopes cannot be added: one that stands there may be the same by another name."""
    if not new or not untouched:
        return ""
    added = listed([slope.label for slope in new])
    return (
        f"The record has {listed(list(untouched))}, which is none of these, and lacks {added}: they may be the "
        "same by other names. Call them alike in job.yaml, or take away there what is no slope."
    )


def _places(slopes: Sequence[SlopeFigures], typed: Sequence[Slope]) -> dict[str, int]:
    """Return the place on record of each slope, by its label; else where one alone faces its way at its pitch."""
    labels = [one.label for one in typed]
    places = {one.label: labels.index(one.label) for one in slopes if one.label in labels}
    left = [at for at in range(len(typed)) if at not in places.values()]

    def like(slope: SlopeFigures, at: int) -> bool:
        one = typed[at]
        return (
            bool(slope.faces)
            and (one.faces or "").strip().upper() == slope.faces
            and one.pitch is not None
            and one.pitch.rise_in_12 == slope.rise_in_12
        )

    rest = [slope for slope in slopes if slope.label not in places]
    for slope in rest:
        alike = [at for at in left if like(slope, at)]
        if len(alike) == 1 and sum(like(other, alike[0]) for other in rest) == 1:
            places[slope.label] = alike[0]
    return places


@dataclass(frozen=True)
class _Sums:
    """Sums of shared edges beside the record, of kinds that slopes on record carry.

    stands: how each stands. elsewhere: kinds whose sum on record is that of all slopes, new ones too. more: kinds
    of which the record has more than its slopes should.
    """

    stands: Mapping[str, Stands]
    elsewhere: frozenset[str]
    more: frozenset[str]


def _shared_sums(
    slopes: Sequence[SlopeFigures], typed: Sequence[Slope], places: Mapping[str, int]
) -> _Sums:
    stands: dict[str, Stands] = {}
    elsewhere: set[str] = set()
    more: set[str] = set()
    for field in SHARED:
        on_record = [found for at in places.values() if (found := getattr(typed[at], field))]
        if not on_record:
            continue
        there = [length for one in slopes if one.label in places and (length := one.length(field))]
        every = [length for one in slopes if (length := one.length(field))]
        # Each figure of a sum was rounded on its own.
        apart, apart_of_every = sum(on_record) - sum(there), sum(on_record) - sum(every)
        same = abs(apart) <= SAME_FT * len(on_record + there)
        if not same and abs(apart_of_every) <= SAME_FT * len(on_record + every):
            elsewhere.add(field)
        elif not same and apart > 0:
            more.add(field)
        stands[field] = Stands.SAME if same or field in elsewhere else Stands.DIFFERS
    return _Sums(stands, frozenset(elsewhere), frozenset(more))


def _without(slope: SlopeFigures, fields: Collection[str]) -> SlopeFigures:
    kept = {name: x for name, x in (slope.lengths_ft or {}).items() if name not in fields}
    return replace(slope, lengths_ft=kept)


def _counted_already(
    slopes: Sequence[SlopeFigures],
    typed: Sequence[Slope],
    places: Mapping[str, int],
    more: Collection[str],
) -> str:
    """Return why new slopes cannot be added: what they touch on record may count edges or areas of theirs."""
    new = [slope for slope in slopes if slope.label not in places and slope.touching(places)]
    labels = {slope.label for slope in new}
    kinds = [name for name in SHARED if name in more and any(slope.length(name) for slope in new)]
    larger = []
    for slope in slopes:
        if labels and slope.label in places and slope.touching(labels):
            areas = _two_areas(slope, typed[places[slope.label]])
            if areas and areas[0] - areas[1] > max(_SAME_SQFT, MEASURED * areas[1]):
                larger.append(typed[places[slope.label]].label)
    if not kinds and not larger:
        return ""
    if kinds:
        what = f"{listed([WORDS[name] for name in kinds])} at slopes that stand there"
    else:
        what = f"area at {listed(larger)}"
    return (
        f"The record has more {what} than these have; {listed([slope.label for slope in new])} may be counted in "
        "it already. Put that right first, or let these figures take its place."
    )


def _beside(
    slope: SlopeFigures, typed: Slope, at: int, lines: Lines, shared: Mapping[str, Stands]
) -> tuple[list[Held], Mapping[str, str]]:
    """Return each figure of a slope beside the record; and the fields to be written, by name."""
    held: list[Held] = []
    texts = dict(_told(slope))

    def add(name: str, was: str, stands: Stands) -> None:
        found = texts.get(name, "none")
        if was or stands is not Stands.SAME:
            held.append(Held(typed.label, name, was, found, stands))

    for name, value in (("faces", typed.faces), ("pitch", typed.pitch)):
        if name in texts:
            reason = lines.reason_not(f"slopes.{at}.{name}")
            was = str(value or "") if reason is None else f"n/a, {reason}"
            add(name, was, _stands(not was, was.upper() == texts[name].upper()))
    if "area" in texts:
        was, texts["area"], same = _areas(slope, typed)
        reasons = [lines.reason_not(f"slopes.{at}.{name}") for name in _AREAS]
        if not was:
            was = next((f"n/a, {reason}" for reason in reasons if reason is not None), "")
        add("area", was, _stands(not was, same))
    for name in LENGTHS:
        length, was_ft = slope.length(name), getattr(typed, name)
        reason = lines.reason_not(f"slopes.{at}.{name}")
        if length is None:
            continue
        was = (
            f"n/a, {reason}" if reason is not None else "" if was_ft is None else write_feet(was_ft)
        )
        same = abs((was_ft or Fraction(0)) - length) <= SAME_FT
        if name in shared:
            add(name, was, shared[name] if not same else Stands.SAME)
        else:
            blank = not was and (bool(length) or name == "eave_ft")
            add(name, was, _stands(blank, same))
    return held, texts


def _overhang_beside(overhang_in: Fraction, read: Read[RoofTyped]) -> Held:
    building, reason = read.needed.building, read.lines.reason_not("building.overhang_in")
    now = building.overhang_in if building else None
    was = f"n/a, {reason}" if reason else "" if now is None else write_inches(now)
    return Held(
        "house", "overhang_in", was, write_inches(overhang_in), _stands(not was, now == overhang_in)
    )


def _stands(blank: bool, same: bool) -> Stands:
    return Stands.FILLS if blank else Stands.SAME if same else Stands.DIFFERS


def _two_areas(slope: SlopeFigures, typed: Slope) -> tuple[Fraction, Fraction, str] | None:
    """Return the area on record and that of the slope, and how they were measured; None without two alike.

    They are compared along the slope; in plan, where a pitch that this needs is not on record or not found.
    """
    was = _as_figures(typed)
    for on_record, found, how in (
        (was.sloped_sqft, slope.sloped_sqft, ""),
        (was.plan_sqft, slope.plan_sqft, " in plan"),
    ):
        if on_record is not None and found is not None:
            return on_record, found, how
    return None


def _as_figures(typed: Slope) -> SlopeFigures:
    plan = typed.plan_area_sqft
    if typed.plan is not None:
        plan = typed.plan.along_eave_ft * typed.plan.run_ft
    rise = typed.pitch.rise_in_12 if typed.pitch else None
    return SlopeFigures("", rise_in_12=rise, plan_sqft=plan, area_sqft=typed.area_sqft)


def _areas(slope: SlopeFigures, typed: Slope) -> tuple[str, str, bool]:
    """Return the area on record, empty where none is typed, that of the slope, and whether they are the same."""
    areas = _two_areas(slope, typed)
    if areas is None:
        return dict(_told(_as_figures(typed))).get("area", ""), dict(_told(slope))["area"], False
    on_record, found, how = areas
    same = abs(on_record - found) <= _SAME_SQFT
    return f"{write_area(on_record)}{how}", f"{write_area(found)}{how}", same


def _changes(
    slope: SlopeFigures,
    at: int,
    wanted: Sequence[Held],
    texts_and_areas: tuple[Mapping[str, str], Sequence[str]],
) -> Iterator[Change]:
    """Yield what makes a slope on record say these figures. The areas are the fields in which it tells its own."""
    texts, areas = texts_and_areas
    path = ("slopes", str(at))
    for one in wanted:
        if one.field == "area":
            name, value = _area_field(slope)
            yield Change((*path, name), value)
            yield from (Change((*path, other), None) for other in areas if other != name)
        elif one.field in LENGTHS and not slope.length(one.field):
            if one.field == "eave_ft" or one.typed:
                yield Change((*path, one.field), NO_EAVE if one.field == "eave_ft" else None)
        else:
            yield Change((*path, one.field), texts[one.field])


def _area_field(slope: SlopeFigures) -> tuple[str, str]:
    if slope.area_sqft is not None:
        return "area_sqft", f"{write_number(slope.area_sqft, 2).replace(',', '')} sq ft"
    if slope.size_ft is not None:
        return "plan", " x ".join(_feet(size) for size in slope.size_ft)
    return "plan_area_sqft", f"{write_number(slope.plan_sqft or 0, 2).replace(',', '')} sq ft"


def _feet(length: Fraction) -> str:
    # A comma parts the fields of a one-line form.
    return write_feet(length).replace(",", "")


def _told(slope: SlopeFigures) -> list[tuple[str, str]]:
    """Return the figures of a slope as they are shown and written, without edges it has none of."""
    rows = [("faces", slope.faces)] if slope.faces else []
    if slope.rise_in_12 is not None:
        rows.append(("pitch", str(Pitch(slope.rise_in_12))))
    if slope.sloped_sqft is not None:
        rows.append(("area", write_area(slope.sloped_sqft)))
    elif slope.plan_sqft is not None:
        rows.append(("area", f"{write_area(slope.plan_sqft)} in plan"))
    for name in LENGTHS:
        length = slope.length(name)
        if length:
            rows.append((name, _feet(length)))
    return rows


def _entry(slope: SlopeFigures) -> Value:
    """Return a new slope as it is typed: on one line where that says all of it."""
    texts = dict(_told(slope))
    texts.pop("area", None)
    fields: dict[str, str] = {"label": slope.label}
    fields |= {name: texts[name] for name in ("faces", "pitch") if name in texts}
    if slope.plan_sqft is not None or slope.area_sqft is not None:
        name, value = _area_field(slope)
        fields[name] = value
    if slope.no_eave:
        fields["eave_ft"] = NO_EAVE
    fields |= {name: texts[name] for name in LENGTHS if name in texts}
    short = {"area_sqft": "area", "plan": "plan", **WORDS}
    if "plan_area_sqft" in fields or slope.no_eave or "," in slope.label:
        return dict(fields)
    parts = [slope.label]
    for name, text in fields.items():
        if name != "label":
            parts.append(text if name == "pitch" else f"{short[name]} {text}")
    return ", ".join(parts)


def rows_of(slopes: Sequence[SlopeFigures]) -> list[tuple[str, ...]]:
    """Return slopes as rows of a table below its head; a dash where there is nothing or nobody said."""
    head = (
        "slope",
        "faces",
        "pitch",
        "plan sq ft",
        "area sq ft",
        *(WORDS[name] for name in LENGTHS),
    )
    return [head, *(_row(slope) for slope in slopes)]


def _row(slope: SlopeFigures) -> tuple[str, ...]:
    def figure(value: Fraction | None, places: int) -> str:
        return write_number(value, places) if value else "-"

    pitch = "-" if slope.rise_in_12 is None else str(Pitch(slope.rise_in_12))
    areas = (figure(slope.plan_sqft, 1), figure(slope.sloped_sqft, 1))
    lengths = (figure(slope.length(name), 2) for name in LENGTHS)
    return (slope.label, slope.faces or "-", pitch, *areas, *lengths)
