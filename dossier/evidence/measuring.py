"""The files a job lists into `Facts`: each looked at once, measured, and kept for the next run.

In: the job folder and the listed paths. Out: `Facts`. Must not know what the files are meant to
show, and never raises for what is in a file or missing: that is a fault in its fact.
"""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from types import MappingProxyType

from dossier.errors import LET_IT_END, UnreadableInput, changed_meanwhile
from dossier.evidence import cache as caching
from dossier.evidence.cache import Cache
from dossier.evidence.facts import Facts, PaperFact, PhotoFact
from dossier.evidence.files import (
    Contents,
    Look,
    Stamp,
    list_files,
    look_at,
    read,
    same_path,
    unnameable_files,
)
from dossier.evidence.kinds import kind_of
from dossier.evidence.pdfs import look_at_pdf
from dossier.evidence.pictures import look_at_picture, pillow_settings

PHOTO_LIMIT_BYTES = 100_000_000
PAPER_LIMIT_BYTES = 100_000_000

MEASURED_BY = 3
"""Raised whenever the same bytes may give other facts, so that facts kept before are not used."""

WORKERS = 2
"""Photos looked at at once: Pillow and hashlib let other threads run while they work."""

_LISTED_BELOW = ("photos", "papers")
_EMPTY = "is empty: it holds no bytes. Copy it again from where it came from."
_PAPER_KIND = {
    "text": "is text and not a paper, whatever its name says. Put in a PDF, JPEG or PNG.",
    "heic": "is a HEIC picture, which cannot be bound in. Save it as PDF, JPEG or PNG.",
    "tiff": "is a TIFF picture, which cannot be bound in. Save it as PDF, JPEG or PNG.",
    "webp": "is a WebP picture, which cannot be bound in. Save it as PDF, JPEG or PNG.",
    "unknown": "is not a kind of paper that can be read here. Save it as PDF, JPEG or PNG.",
}


def measure(
    job_folder: Path,
    photo_files: Sequence[str],
    paper_files: Sequence[str],
    *,
    cache_folder: Path | None = None,
    progress: Callable[[str, int, int], None] | None = None,
    places: Mapping[str, Path] = MappingProxyType({}),
) -> Facts:
    """Return the facts of every listed file, and the files below photos/ and papers/ not listed.

    photo_files, paper_files: paths within the job folder as they were typed; a fact is found under
    that very text. cache_folder: where facts are kept between runs, None to measure all anew; the
    result is the same. progress: called with the file, how many are done with it, and how many
    there are. places: where listed files lie that are not in the job folder.
    """
    cache = Cache("") if cache_folder is None else caching.load(cache_folder, _made_with())
    photo_names, paper_names = tuple(dict.fromkeys(photo_files)), tuple(dict.fromkeys(paper_files))
    total = len(photo_names) + len(paper_names)
    photos: dict[str, PhotoFact] = {}
    papers: dict[str, PaperFact] = {}
    with pillow_settings(), ThreadPoolExecutor(WORKERS) as pool:
        try:
            for fact in pool.map(
                lambda file: _photo(_at(job_folder, file, places), file, cache), photo_names
            ):
                photos[fact.file] = fact
                if progress:
                    progress(fact.file, len(photos), total)
        finally:
            # After Ctrl-C the photos in hand are finished, and no other is begun.
            pool.shutdown(cancel_futures=True)
    for file in paper_names:
        papers[file] = _paper(_at(job_folder, file, places), file, cache)
        if progress:
            progress(file, len(photos) + len(papers), total)
    if cache_folder is not None:
        caching.save(cache_folder, cache)
    listed = {same_path(file) for file in (*photo_names, *paper_names)}
    found = [file for below in _LISTED_BELOW for file in list_files(job_folder, below)]
    found += [file for below in _LISTED_BELOW for file in unnameable_files(job_folder, below)]
    strays = tuple(sorted(file for file in found if file not in listed))
    return Facts(MappingProxyType(photos), MappingProxyType(papers), strays)


def read_as_measured(path: Path, fact: PaperFact) -> bytes:
    """Return the bytes of a paper, which are those its fact was measured on. path: where it lies.

    Raises UnreadableInput where the file was changed, taken away or made a link since.
    """
    contents = read(path.parent, path.name, PAPER_LIMIT_BYTES)
    if contents.data is None or hashlib.sha256(contents.data).hexdigest() != fact.sha256:
        raise UnreadableInput(changed_meanwhile(fact.file), LET_IT_END)
    return contents.data


def _at(job_folder: Path, file: str, places: Mapping[str, Path]) -> tuple[Path, str]:
    """Return the folder in which a listed file lies, and its path there."""
    place = places.get(file)
    return (job_folder, file) if place is None else (place.parent, place.name)


def _made_with() -> str:
    """Return what the facts depend on beside the files: this module's number and the libraries."""
    libraries = ("pillow", "pillow-heif", "pypdf", "cryptography")
    return caching.made_with(f"measured-by {MEASURED_BY}", libraries)


def _stamp_to_keep(contents: Contents, lasting: bool) -> Stamp | None:
    return contents.look.stamp if contents.lasting and lasting else None


def _photo(at: tuple[Path, str], file: str, cache: Cache) -> PhotoFact:
    look = look_at(*at, PHOTO_LIMIT_BYTES)
    if look.fault is not None:
        return _unread_photo(file, look)
    if (known := cache.photo(file, look.stamp)) is not None:
        return known
    contents = read(*at, PHOTO_LIMIT_BYTES)
    data = contents.data
    if data is None:
        return _unread_photo(file, contents.look)
    kind = kind_of(data)
    picture = look_at_picture(data, kind)
    fact = PhotoFact(
        file=file,
        exists=True,
        fault=picture.fault if data else _EMPTY,
        size_bytes=len(data),
        sha256=hashlib.sha256(data).hexdigest(),
        kind=kind,
        size_px=picture.size_px,
        taken_at_local=picture.camera.taken_at_local,
        taken_offset=picture.camera.taken_offset,
        place=picture.camera.place,
        camera=picture.camera.camera,
        software=picture.camera.software,
        dhash=picture.grey.dhash,
        sharpness=picture.grey.sharpness,
        mean_luma=picture.grey.mean_luma,
        dark_share=picture.grey.dark_share,
        bright_share=picture.grey.bright_share,
    )
    if (stamp := _stamp_to_keep(contents, picture.lasting)) is not None:
        cache.photos[file] = (stamp, fact)
    return fact


def _unread_photo(file: str, look: Look) -> PhotoFact:
    size_bytes = None if look.stamp is None else look.stamp.size_bytes
    rest = (None,) * 8
    return PhotoFact(file, look.exists, look.fault, size_bytes, *rest)


def _paper(at: tuple[Path, str], file: str, cache: Cache) -> PaperFact:
    look = look_at(*at, PAPER_LIMIT_BYTES)
    if look.fault is not None:
        return _unread_paper(file, look)
    if (known := cache.paper(file, look.stamp)) is not None:
        return known
    contents = read(*at, PAPER_LIMIT_BYTES)
    if contents.data is None:
        return _unread_paper(file, contents.look)
    fact, lasting = _read_paper(file, contents.data)
    if (stamp := _stamp_to_keep(contents, lasting)) is not None:
        cache.papers[file] = (stamp, fact)
    return fact


def _read_paper(file: str, data: bytes) -> tuple[PaperFact, bool]:
    """Return the fact of these bytes, and whether it will be the same another day."""
    kind = kind_of(data)
    fault: str | None = None
    page_count: int | None = None
    size_px: tuple[int, int] | None = None
    encrypted, lasting = False, True
    active_content: tuple[str, ...] = ()
    web_links = False
    if kind == "pdf":
        pdf = look_at_pdf(data)
        fault, page_count, lasting = pdf.fault, pdf.page_count, pdf.lasting
        encrypted, active_content, web_links = pdf.encrypted, pdf.active_content, pdf.web_links
    elif kind in ("jpeg", "png"):
        picture = look_at_picture(data, kind)
        fault, size_px, lasting = picture.fault, picture.size_px, picture.lasting
        page_count = 1 if fault is None else None
    elif kind != "text" or not file.lower().endswith(".csv"):
        # A supplier's ticket that came as a table is itself the paper.
        fault = _PAPER_KIND[kind]
    if not data:
        fault = _EMPTY
    fact = PaperFact(
        file=file,
        exists=True,
        fault=fault,
        size_bytes=len(data),
        sha256=hashlib.sha256(data).hexdigest(),
        kind=kind,
        page_count=page_count,
        encrypted=encrypted,
        active_content=active_content,
        size_px=size_px,
        web_links=web_links,
    )
    return fact, lasting


def _unread_paper(file: str, look: Look) -> PaperFact:
    size_bytes = None if look.stamp is None else look.stamp.size_bytes
    return PaperFact(file, look.exists, look.fault, size_bytes, None, None, None, False, ())
