"""What the files of a job folder say, as frozen values: `PhotoFact`, `PaperFact` and `Facts`.

In: nothing. Out: the values the rest of the program reasons with. Must not know how a fact was
measured, nor what anybody claims the file shows: a fact is neither typed by hand nor a judgement.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction


@dataclass(frozen=True)
class PhotoFact:
    """What one listed photo file says about itself.

    file: path within the job folder, parted by /. exists: something lies at that path; False also
    where the path may not be looked at (it leaves the job folder). fault: why it cannot be used and
    what to do, as the end of a sentence that begins with the file's name, with its full stop; None
    when the photo opens. size_bytes, sha256 (lower-case hex): of the bytes as read; sha256 is None
    where they were not read. kind, judged by content and never by name: "jpeg", "png", "heic",
    "tiff", "webp", "pdf", "text" or "unknown" (a GIF opens, yet has no word of its own). size_px:
    (width, height) as seen upright. taken_at_local: the camera's own clock, without a zone.
    taken_offset: what that clock was ahead of UTC, None when the camera did not say; the two must
    not be turned into UTC without it. place: (latitude, longitude) in degrees, south and west below
    zero, exact. camera: make and model. software: what last wrote the file. Each is None where the
    file does not say, or says something that cannot be.

    The rest is measured on a grey reduction, the longer side 256 pixels, and exact; None where the
    photo does not open or has no grey. dhash: 64-bit difference hash of the upright picture; it is
    reduced to 9 columns and 8 rows, and a bit is 1 where a pixel is brighter than its left neighbour,
    row by row, the upper left the most significant (see `grey.difference_hash`). Copies of a picture
    differ in a few bits. sharpness: variance of the Laplacian, in squared steps of luma of 0 to 255;
    None also where the longer side has fewer than 256 pixels. mean_luma: 0 is black, 255 white.
    dark_share, bright_share: shares, 0 to 1, of pixels below luma 24 and from luma 250.
    """

    file: str
    exists: bool
    fault: str | None
    size_bytes: int | None
    sha256: str | None
    kind: str | None
    size_px: tuple[int, int] | None
    taken_at_local: datetime | None
    taken_offset: timedelta | None
    place: tuple[Fraction, Fraction] | None
    camera: str | None
    software: str | None
    dhash: int | None = None
    sharpness: Fraction | None = None
    mean_luma: Fraction | None = None
    dark_share: Fraction | None = None
    bright_share: Fraction | None = None


@dataclass(frozen=True)
class PaperFact:
    """What one listed paper file (a PDF, or a picture of a page) says about itself.

    file, exists, fault, size_bytes, sha256, kind: as in `PhotoFact`. page_count: pages a reader can
    turn to, 1 for a picture, None where they could not be counted. encrypted: the PDF carries a
    password of either sort, though it may still open without one. active_content: what in it does
    more than show a page, sorted, out of "JavaScript", "XFA form", "action that hides or shows parts",
    "embedded files", "encryption" (of a paper that opens without a password), "form submission", "launch
    action", "link to another file", "open action" and "rich media". size_px: upright, for pictures only.
    web_links: whether it holds links to addresses.
    """

    file: str
    exists: bool
    fault: str | None
    size_bytes: int | None
    sha256: str | None
    kind: str | None
    page_count: int | None
    encrypted: bool
    active_content: tuple[str, ...]
    size_px: tuple[int, int] | None = None
    web_links: bool = False


@dataclass(frozen=True)
class OtherJob:
    """Another job folder of the office that carries a number of this one. folder: from the office folder.

    number: whether the job's number is the same. permit: whether the permit's, of the same locality, is.
    """

    folder: str
    number: bool
    permit: bool


@dataclass(frozen=True)
class Facts:
    """Everything measured in one job folder, by file as listed, and what other folders say of its numbers.

    strays: files below photos/ and papers/ that no listing names, sorted; a file whose name is no text is
    among them under a name that can be printed, followed by what to do. elsewhere: as far as the office's index
    knows; empty where there is no index.
    """

    photos: Mapping[str, PhotoFact]
    papers: Mapping[str, PaperFact]
    strays: tuple[str, ...]
    elsewhere: tuple[OtherJob, ...] = ()
