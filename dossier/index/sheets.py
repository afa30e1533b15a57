"""What the index needs from an office's sheets: deadlines of a warranty level, roles of products.

In: the office folder, and the copies of sheets that a job was built by. Out: `LevelFacts`, roles. Must not
judge a job. Each different file is read once a run; a sheet that cannot be read gives “cannot tell”.
"""

import os
import stat
from collections.abc import Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any, get_args

from dossier.index.plain import NotPlain, Plain, plain_fields
from dossier.index.scan import COMPANY
from dossier.reading.kinds import DayCount, MetByWord, RoleWord, StartEventWord
from dossier.reading.nodes import MOST_BYTES
from dossier.terms.coverage import Coverage
from dossier.words import MetBy, StartEvent

AS_BUILT = "as-built"
_CATALOGUE = ".catalogue.yaml"
_DAYS, _EVENT, _MET_BY = get_args(DayCount)[1], get_args(StartEventWord)[1], get_args(MetByWord)[1]
_ROLE = get_args(RoleWord)[1]
Workmanship = tuple[str, Coverage] | None
"""Title and terms of the company's own coverage."""


@dataclass(frozen=True)
class Within:
    """A deadline in printed terms: so many days from an event."""

    days: int
    counted_from: StartEvent
    met_by: MetBy = MetBy.RECEIVED


@dataclass(frozen=True)
class LevelFacts:
    """One level of one sheet.

    registration: None where it need not be registered. coverage: None where it cannot be read. falls_to: the
    level that holds where this one was not registered, blank where none does. claim: of the sheet.
    """

    registration: Within | None
    coverage: Coverage | None
    falls_to: str
    claim: Within | None


@dataclass(frozen=True)
class Known:
    """What a catalogue says of a product."""

    role: str
    maker: str


@dataclass
class Sheets:
    """The sheets of one office, read as they are asked for."""

    office: Path
    _by_digest: dict[bytes, Mapping[str, LevelFacts]] = field(default_factory=dict)
    _of_office: dict[str, Mapping[str, LevelFacts] | None] = field(default_factory=dict)
    _products: dict[str, Known] | None = None
    _workmanship: dict[bytes, Workmanship] = field(default_factory=dict)

    def level(self, job: Path, sheet: str, level: str, *, as_built: bool) -> LevelFacts | None:
        """Return the level as printed; None where the sheet or the level cannot be found.

        as_built: whether the copy that the job was built by comes before the office's sheet of today.
        """
        levels = self._as_built(job, sheet) if as_built else self._today(sheet)
        if levels is None:
            levels = self._today(sheet) if as_built else self._as_built(job, sheet)
        return (levels or {}).get(level.lower())

    def workmanship(self, job: Path, *, as_built: bool) -> Workmanship:
        """Return title and terms of the company's own coverage; None where it has none, or it cannot be read.

        as_built: whether the copy that the job was built by comes before the office's sheet of today.
        """
        places = [job / AS_BUILT, self.office]
        for folder in places if as_built else reversed(places):
            data = read_small(folder / COMPANY)
            if data is not None:
                digest = sha256(data).digest()
                if digest not in self._workmanship:
                    self._workmanship[digest] = _workmanship_in(data)
                return self._workmanship[digest]
        return None

    def product(self, name: str) -> Known:
        """Return the role and maker of a product; blank where no catalogue has it."""
        if self._products is None:
            self._products = _products(self.office)
        return self._products.get(key_of(name), _UNKNOWN)

    def _today(self, sheet: str) -> Mapping[str, LevelFacts] | None:
        if sheet not in self._of_office:
            self._of_office[sheet] = self._levels(self.office / "terms", sheet)
        return self._of_office[sheet]

    def _as_built(self, job: Path, sheet: str) -> Mapping[str, LevelFacts] | None:
        return self._levels(job / AS_BUILT / "terms", sheet)

    def _levels(self, folder: Path, sheet: str) -> Mapping[str, LevelFacts] | None:
        if "/" in sheet or "\\" in sheet or "\0" in sheet or sheet in ("", ".", ".."):
            return None
        data = read_small(folder / f"{sheet}.yaml")
        if data is None:
            return None
        digest = sha256(data).digest()
        if digest not in self._by_digest:
            try:
                self._by_digest[digest] = _levels_in(plain_fields(data, sheet))
            except NotPlain:
                return None
        return self._by_digest[digest]


_UNKNOWN = Known("", "")


def key_of(name: str) -> str:
    """Return a product's name as it is compared, without regard to case and spaces."""
    return " ".join(name.lower().split())


def read_small(path: Path | str) -> bytes | None:
    """Return the bytes of an ordinary file of at most the size that is read; None for any other."""
    try:
        # Opened so, a named pipe under this name does not hang the run.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except (OSError, ValueError):
        # A name of a sheet may be longer than the disk takes, or no text at all.
        return None
    try:
        status = os.fstat(handle)
        if not stat.S_ISREG(status.st_mode) or status.st_size > MOST_BYTES:
            return None
        parts = []
        while part := os.read(handle, MOST_BYTES + 1):
            parts.append(part)
            if len(part) > MOST_BYTES:
                return None
    except OSError:
        return None
    finally:
        os.close(handle)
    data = b"".join(parts)
    return data if len(data) <= MOST_BYTES else None


def _levels_in(fields: Plain) -> Mapping[str, LevelFacts]:
    claim = _within(fields.get("claim"))
    found: dict[str, LevelFacts] = {}
    levels = fields.get("levels")
    for level in [levels] if isinstance(levels, dict) else levels or ():
        if not isinstance(level, dict) or not isinstance(level.get("level"), str):
            continue
        coverage = level.get("coverage")
        falls_to = level.get("unregistered_falls_to")
        found[level["level"].strip().lower()] = LevelFacts(
            registration=_within(level.get("registration")),
            coverage=_coverage(coverage),
            falls_to=falls_to.strip() if isinstance(falls_to, str) else "",
            claim=claim,
        )
    return found


def _coverage(fields: Any) -> Coverage | None:
    try:
        return Coverage.model_validate(fields)
    except ValueError:
        return None


def _workmanship_in(data: bytes) -> Workmanship:
    try:
        own = plain_fields(data, COMPANY).get("workmanship")
    except NotPlain:
        return None
    if not isinstance(own, dict) or not isinstance(own.get("title"), str):
        return None
    coverage = _coverage(own.get("coverage"))
    return None if coverage is None else (" ".join(own["title"].split()), coverage)


def _within(fields: Any) -> Within | None:
    try:
        return Within(
            _DAYS.read(fields["within_days"]),
            _EVENT.read(fields["counted_from"]),
            _MET_BY.read(fields.get("met_by", MetBy.RECEIVED)),
        )
    except (KeyError, TypeError, ValueError):
        return None


def _products(office: Path) -> dict[str, Known]:
    found: dict[str, Known] = {}
    try:
        files = sorted((office / "terms").glob(f"*{_CATALOGUE}"))
    except OSError:
        return found
    for file in files:
        data = read_small(file)
        try:
            fields = plain_fields(data or b"", file.name)
        except NotPlain:
            continue
        products = fields.get("products")
        for product in products if isinstance(products, list) else ():
            if isinstance(product, dict) and isinstance(product.get("product"), str):
                maker = product.get("maker", fields.get("maker", ""))
                known = Known(role_of(product.get("role")), maker if isinstance(maker, str) else "")
                # Where two catalogues have a product of one name, the case takes the first.
                found.setdefault(key_of(product["product"]), known)
    return found


def role_of(text: object) -> str:
    """Return a role as it is printed; blank where the text is none."""
    try:
        return str(_ROLE.read(text).value)
    except ValueError:
        return ""
