"""The photos of a job as a document shows them: where each goes, what stands below it.

In: a case and facts. Out: `Shot`s and the pictures they want. Must not open a file, and
must not say that a photo proves anything: its backing word says how far somebody looked at it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from dossier.assess.backing import photo_backing
from dossier.case.case import Case
from dossier.compose.parts.photo_days import misfits
from dossier.compose.parts.shared import PictureWanted, capital, day
from dossier.evidence.facts import Facts, PhotoFact
from dossier.record.files import Photo
from dossier.record.signed import Signed
from dossier.values import clip, listed, plural, write_date, write_runs
from dossier.words import Backing, Phase

WIDE_MM, NARROW_MM, PAIR_MM = 72, 53, 80
"""Printed widths of a photo: two in a row and three of them a page, three in a row, and a pair by itself.
All fit Letter and A4."""

MANY = 48
"""Photos above which three stand in a row instead of two."""

_TALLEST_SHARE = (3, 4)
"""A photo is printed no taller than three quarters of its column, so that rows stay even."""

_LONG_CAPTION = 240
_LONG_NOTE = 100
"""Letters of a look at a photo that fit on two lines below it, so that a page of photos stays one page."""

_ROOM: Mapping[tuple[bool, bool], tuple[str, int, int, int]] = MappingProxyType(
    {
        (False, False): ("2", WIDE_MM, 54, 6),
        (False, True): ("2", PAIR_MM, 47, 6),
        (True, False): ("3", NARROW_MM, 39, 12),
        (True, True): ("3", NARROW_MM, 39, 9),
    }
)
"""By whether there are many photos, and whether somebody noted what one shows: how many stand in a row, how wide a
column and how tall a photo is in millimetres, and how many fill a page. A note takes two lines below its photo, or
a few where columns are narrow; three rows of them still fit on a page that the part's heading begins."""
_NAMED = 6
"""Photos that a sentence names by file; of more, the rest by number, and the list of photos has their files."""


@dataclass(frozen=True)
class Shot:
    """One photo as printed. name: of its asset. width_mm: as printed, column_mm: its room.

    noted: who looked at it, on which day, and what was seen; empty where nobody did.
    """

    name: str
    alt: str
    width_mm: str
    column_mm: str
    title: str
    caption: str
    taken: str
    noted: str
    misfit: str
    backing: str


@dataclass(frozen=True)
class PhotoGroup:
    """A page of photos. title: the phases they show. in_row: 2 or 3, as text. notes: sentences below the heading.

    full: captions too long for a row, whole.
    """

    title: str
    in_row: str
    shots: tuple[Shot, ...]
    notes: tuple[str, ...]
    full: tuple[str, ...]


class Album:
    """Hands out each photo's picture once, under its number."""

    def __init__(self, case: Case, facts: Facts) -> None:
        self._case, self._facts = case, facts
        self._numbers = case.photo_numbers
        self._names = {file: f"photo-{number}" for file, number in self._numbers.items()}
        self._wanted: dict[str, PictureWanted] = {}

    @property
    def wanted(self) -> tuple[PictureWanted, ...]:
        """Return the pictures handed out so far, in the order in which they were asked for."""
        return tuple(self._wanted.values())

    def opens(self, file: str | None) -> bool:
        """Return whether a photo is on file and can be printed."""
        fact = self._facts.photos.get(file) if file else None
        return fact is not None and fact.exists and fact.fault is None and bool(fact.size_px)

    def is_shown(self, file: str) -> bool:
        """Return whether a photo has been handed out already."""
        return self._names.get(file, file) in self._wanted

    def shot(self, photo: Photo, column_mm: int, tallest_mm: int | None = None) -> Shot:
        """Return a photo that opens as printed in a column of that width, no taller than that."""
        fact = self._facts.photos[photo.file]
        name = self._names[photo.file]
        width_mm = printed_width_mm(fact, column_mm, tallest_mm)
        self._wanted.setdefault(name, PictureWanted(name, photo.file, width_mm))
        caption = capital(photo.caption or "")
        return Shot(
            name=name,
            alt=_alt(photo, fact, self._numbers[photo.file]),
            width_mm=str(width_mm),
            column_mm=str(column_mm),
            title=f"Photo {self._numbers[photo.file]}. {_title(photo)}",
            caption=caption if len(caption) <= _LONG_CAPTION else f"{caption[:_LONG_CAPTION]}…",
            taken=_taken(photo, fact),
            noted=_noted(photo.reviewed),
            misfit="; ".join(misfits(self._case, self._facts, photo)),
            backing=photo_backing(photo, self._facts).value,
        )

    def of_file(self, file: str | None, column_mm: int) -> Shot | None:
        """Return the photo of that file as printed, or None where it is not on file or does not open."""
        photo = next((photo for photo in self._case.photos if photo.file == file), None)
        return self.shot(photo, column_mm) if photo and self.opens(file) else None

    def groups(self, phases: Sequence[Phase | None]) -> tuple[PhotoGroup, ...]:
        """Return the photos of these phases that open, a page of them below each heading.

        A photo shown earlier in the document is counted, not printed again. A phase may run on into the next
        group, so that no page ends half empty and no photo stands alone at the top of one.
        """
        filed = [p for p in self._case.photos if p.phase in phases and self.opens(p.file)]
        opening = sorted(filed, key=lambda photo: self._numbers[photo.file])
        noted = any(photo.reviewed for photo in opening)
        in_row, column_mm, tallest_mm, in_a_group = _ROOM[len(opening) > MANY, noted]

        def group() -> PhotoGroup:
            shots = tuple(self.shot(photo, column_mm, tallest_mm) for photo in new)
            return _group(new, in_row, shots, notes)

        groups: list[PhotoGroup] = []
        notes: list[str] = []
        new: list[Photo] = []
        for phase in phases:
            filed = [photo for photo in opening if photo.phase is phase]
            unseen = [photo for photo in filed if not self.is_shown(photo.file)]
            if len(unseen) < len(filed):
                seen = [self._numbers[p.file] for p in filed if self.is_shown(p.file)]
                photos, are = ("Photo", "is") if len(seen) == 1 else ("Photos", "are")
                notes.append(
                    f"{photos} {write_runs(seen)}, of {_phase_words(phase)}, {are} shown further up in "
                    "this document."
                )
            for photo in unseen:
                new.append(photo)
                if len(new) == in_a_group:
                    groups.append(group())
                    new, notes = [], []
        if new or notes:
            groups.append(group())
        return tuple(groups)


def _group(
    photos: list[Photo], in_row: str, shots: tuple[Shot, ...], notes: list[str]
) -> PhotoGroup:
    names = list(dict.fromkeys(_phase_words(photo.phase) for photo in photos))
    long = [p.caption for p in photos if p.caption and len(p.caption) > _LONG_CAPTION]
    return PhotoGroup(
        title=capital(listed(names)) or "Shown further up",
        in_row=in_row,
        shots=shots,
        notes=tuple(notes),
        full=tuple(long),
    )


def _phase_words(phase: Phase | None) -> str:
    return "not filed under a phase" if phase is None else phase.value


def printed_width_mm(fact: PhotoFact, column_mm: int, tallest_mm: int | None = None) -> int:
    """Return the width at which a photo is printed in a column, whole millimetres, never above it.

    An upright photo is printed narrower, so that it is no taller than the lying ones beside it. tallest_mm: the
    greatest height; three quarters of the column where nothing is said.
    """
    assert fact.size_px is not None
    width_px, height_px = fact.size_px
    top, bottom = _TALLEST_SHARE
    tallest = Fraction(column_mm * top, bottom) if tallest_mm is None else Fraction(tallest_mm)
    return max(5, min(column_mm, int(tallest * width_px / height_px)))


def photo_gaps(case: Case, facts: Facts) -> list[str]:
    """Return plain sentences on photos that do not open or show nothing, and on those without a camera's day."""
    lacking = [photo for photo in case.photos if photo_backing(photo, facts) is Backing.ABSENT]
    broken = [photo for photo in lacking if not _opens(photo, facts)]
    dark = [photo for photo in lacking if _opens(photo, facts)]
    sentences = []
    if broken:
        count = plural(len(broken), "listed photo is", "listed photos are")
        sentences.append(f"{count} not there or cannot be opened: {_named(case, broken)}.")
    if dark:
        count = plural(len(dark), "photo is", "photos are")
        sentences.append(
            f"{count} too dark, bright or blurred to show anything: {_named(case, dark)}."
        )
    dateless = _without_camera_day(case, facts)
    if dateless:
        count = plural(dateless, "photo carries", "photos carry")
        whose = "its" if dateless == 1 else "their"
        sentences.append(
            f"{count} no day from the camera, so {whose} day rests on the record alone."
        )
    return sentences


def _opens(photo: Photo, facts: Facts) -> bool:
    fact = facts.photos.get(photo.file)
    return fact is not None and fact.exists and fact.fault is None


def _named(case: Case, photos: Sequence[Photo]) -> str:
    """Return photos by number and file, the first few; of more, the rest by number."""
    ordered = sorted(photos, key=lambda photo: case.photo_numbers[photo.file])
    named = [
        f"{case.photo_numbers[one.file]} ({one.file.removeprefix('photos/')})"
        for one in ordered[:_NAMED]
    ]
    rest = write_runs(case.photo_numbers[one.file] for one in ordered[_NAMED:])
    word = "photo" if len(photos) == 1 else "photos"
    return f"{word} {', '.join(named)}; further {rest}" if rest else f"{word} {listed(named)}"


def _without_camera_day(case: Case, facts: Facts) -> int:
    return sum(
        1
        for photo in case.photos
        if (fact := facts.photos.get(photo.file)) is not None
        and fact.exists
        and fact.fault is None
        and fact.taken_at_local is None
    )


def phases_of(phases: Iterable[Phase]) -> tuple[Phase, ...]:
    """Return the phases in the order in which a roof is built, each once."""
    wanted = set(phases)
    return tuple(phase for phase in Phase if phase in wanted)


def _title(photo: Photo) -> str:
    phase = capital(photo.phase.value) if photo.phase else "Phase not on record"
    return f"{phase}, slope {photo.slope}" if photo.slope else phase


def _alt(photo: Photo, fact: PhotoFact, number: int) -> str:
    what = photo.phase.value if photo.phase else "no phase named"
    where = f", slope {photo.slope}" if photo.slope else ""
    words = f": {photo.caption[:_LONG_CAPTION]}" if photo.caption else ""
    if photo.reviewed and photo.reviewed.note:
        # What somebody saw says more to a reader who sees no picture than the caption, which is read anyway.
        words = f": {clip(photo.reviewed.note, _LONG_CAPTION)}"
    when = f"; camera says {write_date(fact.taken_at_local.date())}" if fact.taken_at_local else ""
    return f"Photo {number}, {what}{where}{words}{when}"


def _noted(one: Signed | None) -> str:
    if one is None or not (one.by or one.on or one.note):
        return ""
    who = ", ".join(part for part in (one.by, day(one.on, "")) if part)
    return clip(f"{who}: {one.note}" if one.note and who else one.note or who, _LONG_NOTE)


def _taken(photo: Photo, fact: PhotoFact) -> str:
    if fact.taken_at_local is not None:
        return f"Camera: {write_date(fact.taken_at_local.date())}"
    if photo.received_on is not None:
        sender = f" from {photo.received_from}" if photo.received_from else ""
        return f"No camera day; received{sender} {write_date(photo.received_on)}"
    return "No day from the camera"
