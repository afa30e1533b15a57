"""Whether the last build still stands, at the price of one look at each file's size and times.

In: the places that a build was made from and wrote to, and what it said. Out: what it said, where nothing has
changed since; else nothing. Must not know what any file is for, and must load next to nothing, since a build
with nothing to do should be over before the layout library would be loaded. What is kept here is a convenience:
where it is damaged, from another version, or cannot be written, the documents are simply built again.
"""

import contextlib
import hashlib
import json
import os
import secrets
import stat
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, tzinfo
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

FILE_NAME = "last-build.json"

SETTLED_NS = 100_000_000
"""A file must have been left alone this long when it was looked at. File systems note times in steps of up to
ten milliseconds, and a second change within one step would not show. Source: Linux, fs/inode.c, current_time()."""

_LIMIT_BYTES = 10_000_000
_COMPILED = frozenset({"__pycache__"})


@dataclass(frozen=True)
class Place:
    """A file, or a folder with all that is in it. but_not: names right in that folder that are passed over."""

    path: str
    whole_folder: bool
    but_not: tuple[str, ...] = ()


@dataclass(frozen=True)
class Said:
    """What a build said: on stdout, on stderr, and its exit code."""

    out: str
    err: str
    exit_code: int


def build_asked(
    job_folder: Path, office_folder: Path | None, out_folder: Path | None
) -> dict[str, str]:
    """Return what a build was asked, as far as it changes the outcome; folders as they were named."""
    named = {"job": job_folder, "office": office_folder, "out": out_folder}
    return {name: "" if path is None else str(path.resolve()) for name, path in named.items()}


class LastBuild:
    """Looks at the places before a build and after it, and remembers the build if they were the same."""

    def __init__(
        self, work_folder: Path, asked: Mapping[str, str], made_from: Sequence[Place]
    ) -> None:
        """Look at what the build is about to be made from. asked: what changes the outcome beside the files."""
        self._work_folder = work_folder
        self._asked = dict(asked)
        self._made_from = (*made_from, *_program())
        self._before, self._newest_ns = _look(self._made_from)

    def remember(self, said: Said, today: date, zone: str, wrote: Sequence[Place]) -> bool:
        """Keep what the build said; return whether it was kept.

        today: the day it was built for; zone: of that day, by its IANA name. wrote: the places it wrote to, and
        whatever else it found out it was made from.
        """
        now_ns = self._file_time_ns()
        after, newest_ns = _look(self._made_from)
        if now_ns is None or after != self._before or newest_ns != self._newest_ns:
            return False
        # The times are compared with the time the same disk gave a file of ours, not with a clock.
        if newest_ns > now_ns - SETTLED_NS:
            return False
        kept = {
            "asked": self._asked,
            "today": today.isoformat(),
            "zone": zone,
            "made_from": [asdict(place) for place in self._made_from],
            "wrote": [asdict(place) for place in wrote],
            "looked": [self._before, _look(wrote)[0]],
            "said": asdict(said),
        }
        text = json.dumps({"kept": kept, "check": _check(kept)})
        temporary = self._work_folder / f"{FILE_NAME}.{secrets.token_hex(8)}.tmp"
        try:
            temporary.write_text(text, "ascii")
            temporary.replace(self._work_folder / FILE_NAME)
        except OSError:
            with contextlib.suppress(OSError):
                temporary.unlink()
            return False
        return True

    def _file_time_ns(self) -> int | None:
        path = self._work_folder / f"{FILE_NAME}.{secrets.token_hex(8)}.tmp"
        try:
            path.write_bytes(b"")
            found = path.stat().st_ctime_ns
            path.unlink()
        except OSError:
            return None
        return found


def still_stands(
    work_folder: Path,
    asked: Mapping[str, str],
    today: date | None,
    clock: Callable[[tzinfo], date],
) -> Said | None:
    """Return what the last build said if another would make the same, None if it has to be made.

    asked: as for `LastBuild`. today: None where the clock decides.
    """
    try:
        with (work_folder / FILE_NAME).open("rb") as file:
            whole = json.loads(file.read(_LIMIT_BYTES))
        kept = whole["kept"]
        if whole["check"] != _check(kept) or kept["asked"] != dict(asked):
            return None
        day = today or clock(ZoneInfo(kept["zone"]))
        if kept["today"] != day.isoformat():
            return None
        made_from, wrote = (_places(kept[name]) for name in ("made_from", "wrote"))
        if made_from[-len(_program()) :] != _program():
            return None
        if [_look(made_from)[0], _look(wrote)[0]] != kept["looked"]:
            return None
        return Said(**kept["said"])
    except (
        OSError,
        ValueError,
        KeyError,
        TypeError,
        AttributeError,
        RecursionError,
        ZoneInfoNotFoundError,
    ):
        return None


def _places(plain: Sequence[Mapping[str, Any]]) -> tuple[Place, ...]:
    return tuple(Place(p["path"], p["whole_folder"], tuple(p["but_not"])) for p in plain)


def _program() -> tuple[Place, ...]:
    """Return the places of this program and of the libraries it uses, whose folder notes each installing."""
    libraries = [path for path in sys.path if path.endswith(("site-packages", "dist-packages"))]
    here = Path(__file__).resolve().parent.parent
    own = [Place(str(here), True, tuple(_COMPILED)), Place(str(here.parent / "templates"), True)]
    return (*own, *(Place(path, False) for path in libraries))


def program_stamp() -> str:
    """Return a digest that changes with this program and with the libraries it uses."""
    return _look(_program())[0]


def _check(kept: object) -> str:
    return hashlib.sha256(json.dumps(kept, sort_keys=True).encode()).hexdigest()


def _look(places: Sequence[Place]) -> tuple[str, int]:
    """Return a digest over names, sizes, times and identities, and the newest of the times."""
    digest, newest_ns = hashlib.sha256(), 0
    for place in places:
        for name, seen in _stamps(place):
            digest.update(f"{name}\0{seen}\0".encode("utf-8", "surrogateescape"))
            newest_ns = max((newest_ns, *seen[2:4]))
    return digest.hexdigest(), newest_ns


def _stamps(place: Place) -> Iterator[tuple[str, tuple[int, ...]]]:
    if place.whole_folder:
        # The folder's own times are left out: they change with what is passed over in it.
        yield from _inside(place.path, frozenset(place.but_not))
    else:
        yield place.path, _stamp(place.path)


def _inside(folder: str, but_not: frozenset[str]) -> Iterator[tuple[str, tuple[int, ...]]]:
    try:
        with os.scandir(folder) as entries:
            found = sorted(entries, key=lambda entry: entry.name)
    except OSError:
        return
    for entry in found:
        if entry.name in but_not:
            continue
        if entry.is_dir(follow_symlinks=False):
            yield f"{entry.path}/", ()
            yield from _inside(entry.path, _COMPILED)
        else:
            yield entry.path, _stamp(entry.path)


def _stamp(path: str) -> tuple[int, ...]:
    """Return kind, size, times and identity of what lies there; nothing where nothing does."""
    try:
        seen = os.lstat(path)
    except OSError:
        return ()
    own = (seen.st_mode, seen.st_size, seen.st_mtime_ns, seen.st_ctime_ns, seen.st_ino)
    if not stat.S_ISLNK(seen.st_mode):
        return own
    # A record may be a link, and is read through it; so what it leads to is looked at as well.
    try:
        led_to = Path(path).stat()
    except OSError:
        return own
    times_ns = (max(own[2], led_to.st_mtime_ns), max(own[3], led_to.st_ctime_ns))
    return (*own[:2], *times_ns, own[4], led_to.st_size, led_to.st_ino, led_to.st_mtime_ns)
