"""The photos that documents want into the pictures they print, each reduced at most once a width.

In: paths with their digests and printed widths. Out: an asset for each. Must not know a document, nor judge a
photo. Two are worked on at a time: Pillow lets other threads run while it decodes and encodes. Pictures that
are kept on disk are read when they are asked for, so that the stage holds next to nothing, however many there
are.
"""

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from dossier.errors import LET_IT_END, UnreadableInput, changed_meanwhile
from dossier.evidence.cache import made_with
from dossier.render.content_store import ContentStore
from dossier.render.engine import Asset
from dossier.render.pictures import QUALITY, REDUCED_BY, reduce
from dossier.values import Progress, silent

WORKERS = 2


@dataclass(frozen=True)
class Wanted:
    """One picture that a document asks for. name: under which it asks. path: of the photo. width_mm: as
    printed. sha256: of the photo's bytes as measured, None where it was not. said: what to call it on a
    screen."""

    name: str
    path: Path
    width_mm: int
    sha256: str | None
    said: str


class PictureStage:
    """Reduces photos for the documents of one run. fresh: take nothing that was kept before."""

    def __init__(
        self,
        store: ContentStore,
        *,
        fresh: bool = False,
        progress: Progress = silent,
        workers: int = WORKERS,
    ) -> None:
        self._store = store
        self._fresh = fresh
        self._progress = progress
        self._workers = workers
        self._ready: set[str] = set()
        self._unkept: dict[str, bytes] = {}
        # What a reduced picture depends on beside the photo and its width.
        ours = f"reduced-by {REDUCED_BY}, quality {QUALITY}"
        self._made_with = made_with(ours, ("pillow", "pillow-heif"))

    def pictures(self, wanted: Sequence[Wanted]) -> Mapping[str, Asset]:
        """Return the pictures by name, every one ready to be read.

        Raises UnreadableInput for a photo that changed since it was measured, and what `reduce` raises.
        """
        keys = {one.name: self._key(one) for one in wanted}
        todo = {
            keys[one.name]: one
            for one in wanted
            if keys[one.name] not in self._ready and not self._is_kept(keys[one.name])
        }
        done = 0
        pool = ThreadPoolExecutor(self._workers)
        try:
            for one in pool.map(self._make, todo, todo.values()):
                done += 1
                self._progress(one.said, done, len(todo))
        finally:
            # After a fault or Ctrl-C the photos in hand are finished, and no other is begun.
            pool.shutdown(cancel_futures=True)
        self._ready |= set(keys.values())
        return _Pictures(self, {one.name: (keys[one.name], one) for one in wanted})

    def take(self, key: str, one: Wanted) -> Asset:
        """Return one picture; it is made again where what was kept of it is gone or damaged."""
        data = self._unkept.get(key) or self._store.take(key)
        if data is None:
            self._make(key, one)
            data = self._unkept.get(key) or self._store.take(key)
        assert data is not None
        return Asset(data, "image/jpeg")

    def _key(self, one: Wanted) -> str:
        sha256 = one.sha256 or hashlib.sha256(_bytes_of(one)).hexdigest()
        text = f"{sha256} at {one.width_mm} mm, {self._made_with}"
        return hashlib.sha256(text.encode()).hexdigest()[:32]

    def _is_kept(self, key: str) -> bool:
        return not self._fresh and self._store.has(key)

    def _make(self, key: str, one: Wanted) -> Wanted:
        data = _bytes_of(one)
        if one.sha256 is not None and hashlib.sha256(data).hexdigest() != one.sha256:
            raise UnreadableInput(changed_meanwhile(one.said), LET_IT_END)
        made = reduce(data, width_mm=one.width_mm).data
        if not self._store.keep(key, made):
            self._unkept[key] = made
        return one


class _Pictures(Mapping[str, Asset]):
    """Pictures that are read one by one, when the layout program comes to them."""

    def __init__(self, stage: PictureStage, by_name: Mapping[str, tuple[str, Wanted]]) -> None:
        self._stage = stage
        self._by_name = by_name

    def __getitem__(self, name: str) -> Asset:
        return self._stage.take(*self._by_name[name])

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_name)

    def __len__(self) -> int:
        return len(self._by_name)

    def __contains__(self, name: object) -> bool:
        return name in self._by_name


def _bytes_of(one: Wanted) -> bytes:
    try:
        return one.path.read_bytes()
    except OSError:
        raise UnreadableInput(changed_meanwhile(one.said), LET_IT_END) from None
