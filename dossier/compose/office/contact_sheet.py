"""The contact sheet of a heap: every picture small, with its number, what is proposed and why.

In: one row a file, in words, and the company where it is known. Out: `ContactSheet` of ready-to-print
strings. Must not know how a proposal came about. It is for the office: it shows what nobody has sorted.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.compose.parts.shared import Head, PictureWanted, capital, sentence
from dossier.values import Run, clip, plural, write_date

THUMBNAIL_MM = 50
"""Width of a picture as printed: three in a row."""

_REASON_LETTERS, _NAME_LETTERS = 180, 90


@dataclass(frozen=True)
class SheetRow:
    """One file as it is told here. place: the proposed phase and slope, or kind of paper, in words.

    shows: whether it is a picture that can be opened. left_out: whether it is proposed to be.
    """

    number: int
    name: str
    place: str
    taken: str
    reason: str
    shows: bool
    left_out: bool


@dataclass(frozen=True)
class Thumbnail:
    """One picture of the sheet. picture: its name among the pictures, empty where there is none."""

    picture: str
    alt: str
    number: str
    place: str
    name: str
    taken: str
    reason: str


@dataclass(frozen=True)
class SheetPart:
    """The files of one place."""

    title: str
    count: str
    thumbnails: tuple[Thumbnail, ...]


@dataclass(frozen=True)
class ContactSheet:
    """The contact sheet, part by part."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    said: str
    parts: tuple[SheetPart, ...]


def contact_sheet(
    number: str, company: str, rows: Sequence[SheetRow], places: Sequence[str], run: Run
) -> ContactSheet:
    """Return the contact sheet of a heap.

    number: the job's. company: its name, empty where it could not be read. rows: in their order.
    places: every `place` a row may have, in the order of the parts. A picture is wanted under the
    name `pN`, N its number; its `file` is the name of the row, for the caller to open.
    """
    shown = [row for row in rows if row.shows]
    parts = [
        _part(place, [row for row in rows if row.place == place and not row.left_out])
        for place in places
    ]
    parts.append(_part("proposed to leave out", [row for row in rows if row.left_out]))
    job = clip(number)
    return ContactSheet(
        template="contact-sheet.html",
        title=f"Contact sheet, job {job}",
        head=Head(clip(company), job, "office edition", write_date(run.today), ""),
        pictures=tuple(PictureWanted(f"p{row.number}", row.name, THUMBNAIL_MM) for row in shown),
        said=f"{plural(len(rows), 'file')}, nothing filed yet. The numbers are those of the proposal.",
        parts=tuple(part for part in parts if part.thumbnails),
    )


def _part(place: str, rows: Sequence[SheetRow]) -> SheetPart:
    return SheetPart(
        capital(place), plural(len(rows), "file"), tuple(_thumbnail(row) for row in rows)
    )


def _thumbnail(row: SheetRow) -> Thumbnail:
    name = clip(row.name, _NAME_LETTERS)
    return Thumbnail(
        picture=f"p{row.number}" if row.shows else "",
        alt=f"Picture {row.number}, {name}",
        number=str(row.number),
        place=row.place,
        name=name,
        taken=row.taken or "Time not on file",
        reason=sentence(clip(row.reason, _REASON_LETTERS)),
    )
