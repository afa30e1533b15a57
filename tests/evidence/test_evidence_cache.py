"""Facts kept between runs change no result, cost a stat, and are dropped at the least doubt."""

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from dossier.evidence import Facts, cache, measure, measuring

PHOTOS = ["photos/a.jpg", "photos/cut.jpg", "photos/text.jpg", "photos/none.jpg", "photos/é.png"]
PAPERS = ["papers/a.pdf", "papers/scan.png", "papers/zero.pdf"]


@pytest.fixture
def filled(job: Path, encoded: Callable[..., bytes], one_page: Callable[..., bytes]) -> Path:
    """Return a job folder with good and broken files of most kinds."""
    exif = Image.Exif()
    exif[0x010F], exif[0x0131] = "Maker", "Program"
    exif[0x8769] = {0x9003: "2025:03:14 16:30:00", 0x9011: "-03:30"}
    exif[0x8825] = {1: "N", 2: (40.0, 26.0, 46.32), 3: "W", 4: (79.0, 58.0, 56.0)}
    (job / "photos/a.jpg").write_bytes(encoded(exif=exif))
    (job / "photos/cut.jpg").write_bytes(encoded()[:-900])
    (job / "photos/text.jpg").write_text("text")
    (job / "photos/é.png").write_bytes(encoded("PNG"))
    (job / "papers/a.pdf").write_bytes(
        one_page(b"<</S/JavaScript/JS(a)>>", catalogue=b"/OpenAction 4 0 R")
    )
    (job / "papers/scan.png").write_bytes(encoded("PNG"))
    (job / "papers/zero.pdf").write_bytes(b"")
    return job


def _measured(job: Path, kept: bool = True) -> Facts:
    return measure(job, PHOTOS, PAPERS, cache_folder=job / ".dossier" if kept else None)


def _no_reading(*_: object) -> None:
    raise AssertionError("a file was read that had not changed")


def test_a_second_look_reads_nothing_and_says_the_same(
    filled: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without = _measured(filled, kept=False)
    first = _measured(filled)
    kept = (filled / ".dossier/facts-v1.json").read_bytes()
    monkeypatch.setattr(measuring, "read", _no_reading)
    second = _measured(filled)
    assert without == first == second
    assert first.photos["photos/a.jpg"].place is not None
    assert type(second.photos["photos/a.jpg"].size_px) is tuple
    assert hash(second.photos["photos/a.jpg"]) == hash(first.photos["photos/a.jpg"])
    assert (filled / ".dossier/facts-v1.json").read_bytes() == kept
    assert [path.name for path in (filled / ".dossier").iterdir()] == ["facts-v1.json"]
    # The guard is seen to fail where a file did change.
    (filled / "photos/a.jpg").write_bytes(b"new")
    with pytest.raises(AssertionError, match="had not changed"):
        _measured(filled)


def test_a_changed_file_is_measured_again(filled: Path, encoded: Callable[..., bytes]) -> None:
    before = _measured(filled).photos["photos/a.jpg"]
    photo = filled / "photos/a.jpg"
    seen = photo.stat()
    data = bytearray(photo.read_bytes())
    data[-3] ^= 1
    photo.write_bytes(data)
    # Size, name, inode and modification time are set back; the change time gives it away.
    os.utime(photo, ns=(seen.st_atime_ns, seen.st_mtime_ns))
    assert (photo.stat().st_size, photo.stat().st_ino) == (seen.st_size, seen.st_ino)
    assert _measured(filled) == _measured(filled, kept=False)
    assert _measured(filled).photos["photos/a.jpg"].sha256 != before.sha256
    # Another file put in its place, of the same size and time, is another file.
    other = filled / "other.jpg"
    other.write_bytes(data[:-3] + b"xyz")
    os.utime(other, ns=(seen.st_atime_ns, seen.st_mtime_ns))
    other.replace(photo)
    assert _measured(filled) == _measured(filled, kept=False)
    photo.unlink()
    assert not _measured(filled).photos["photos/a.jpg"].exists


def test_a_photo_and_a_paper_at_one_path_are_kept_apart(filled: Path) -> None:
    for _ in range(2):
        both = measure(
            filled, ["papers/scan.png"], ["papers/scan.png"], cache_folder=filled / ".dossier"
        )
        assert both.photos["papers/scan.png"].camera is None
        assert both.papers["papers/scan.png"].page_count == 1


@pytest.mark.parametrize(
    "damage",
    [
        lambda _: "",
        lambda text: text[: len(text) // 2],
        lambda _: "[" * 100_000,
        lambda _: "[]",
        lambda _: "{}",
        lambda _: "\0" * 50,
        lambda text: text.replace("jpeg", "tiff"),
        lambda text: text.replace('"size_bytes": ', '"size_bytes": 1'),
        lambda text: text.replace(f"measured-by {measuring.MEASURED_BY}", "measured-by 0"),
    ],
)
def test_a_damaged_cache_is_ignored(filled: Path, damage: Callable[[str], str]) -> None:
    truth = _measured(filled)
    file = filled / ".dossier/facts-v1.json"
    whole = file.read_text()
    damaged = damage(whole)
    assert damaged != whole
    file.write_text(damaged)
    assert _measured(filled) == truth
    assert file.read_text() == whole


def _sealed(made_with: str, entries: object) -> str:
    return json.dumps(
        {"made_with": made_with, "check": cache._check(made_with, entries), "entries": entries}
    )


@pytest.mark.parametrize(
    "change",
    [
        {"size_px": 7},
        {"size_px": None, "taken_at_local": "soon"},
        {"place": ["1/0", "2"]},
        {"taken_offset": "x"},
        {"unknown_field": 1},
    ],
)
def test_a_cache_of_another_shape_is_ignored(filled: Path, change: dict[str, object]) -> None:
    truth = _measured(filled)
    file = filled / ".dossier/facts-v1.json"
    whole = json.loads(file.read_text())
    whole["entries"]["photos"]["photos/a.jpg"]["fact"].update(change)
    file.write_text(_sealed(whole["made_with"], whole["entries"]))
    assert _measured(filled) == truth


def test_facts_made_with_other_libraries_are_not_used(
    filled: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _measured(filled)
    monkeypatch.setattr(cache, "version", lambda _: "0.1")
    monkeypatch.setattr(measuring, "read", _no_reading)
    with pytest.raises(AssertionError, match="had not changed"):
        _measured(filled)


def test_files_no_longer_listed_are_dropped(filled: Path) -> None:
    _measured(filled)
    measure(filled, ["photos/a.jpg"], [], cache_folder=filled / ".dossier")
    entries = json.loads((filled / ".dossier/facts-v1.json").read_text())["entries"]
    assert list(entries["photos"]) == ["photos/a.jpg"]
    assert entries["papers"] == {}


def test_a_cache_that_cannot_be_written_stops_nothing(
    filled: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    truth = _measured(filled, kept=False)
    # A file stands where the folder should be made.
    (filled / "taken").write_text("x")
    assert measure(filled, PHOTOS, PAPERS, cache_folder=filled / "taken/inner") == truth

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(cache.os, "replace", refuse)
    assert _measured(filled) == truth
    assert list((filled / ".dossier").iterdir()) == []


def test_a_cache_that_is_a_folder_or_too_large_is_ignored(
    filled: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    truth = _measured(filled)
    with monkeypatch.context() as patch:
        patch.setattr(cache, "CACHE_LIMIT_BYTES", 10)
        assert _measured(filled) == truth
    (filled / ".dossier/facts-v1.json").unlink()
    (filled / ".dossier/facts-v1.json").mkdir()
    assert _measured(filled) == truth
