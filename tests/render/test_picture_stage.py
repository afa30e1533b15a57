"""The pictures of a run: each made once a width, kept by content, and made again where what was kept is gone."""

import hashlib
import io
import os
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from dossier.errors import UnreadableInput
from dossier.render import picture_stage
from dossier.render.content_store import ContentStore
from dossier.render.picture_stage import PictureStage, Wanted


def photo(path: Path, shade: int) -> Path:
    Image.effect_noise((400, 300), shade).convert("RGB").save(path, "JPEG", quality=90)
    return path


def wanted(path: Path, width_mm: int = 30, *, name: str | None = None) -> Wanted:
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    return Wanted(name or path.stem, path, width_mm, digest, path.name)


@pytest.fixture
def photos(tmp_path: Path) -> list[Path]:
    return [photo(tmp_path / f"p{shade}.jpg", shade) for shade in (10, 20, 30, 40)]


@pytest.fixture
def made_count(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Count how often a photo is reduced, by its bytes' length: one entry a time."""
    counted: list[int] = []
    real = picture_stage.reduce

    def counting(data: bytes, **how: int) -> object:
        counted.append(len(data))
        return real(data, **how)

    monkeypatch.setattr(picture_stage, "reduce", counting)
    return counted


def shown(stage: PictureStage, *asked: Wanted) -> dict[str, bytes]:
    pictures = stage.pictures(asked)
    return {name: pictures[name].data for name in pictures}


def test_a_photo_is_reduced_once_a_width_and_run(
    tmp_path: Path, photos: list[Path], made_count: list[int]
) -> None:
    stage = PictureStage(ContentStore(tmp_path / "kept"))
    first = shown(stage, *map(wanted, photos))
    again = shown(stage, *map(wanted, photos), wanted(photos[0], name="the same"))
    assert len(made_count) == 4
    assert again["the same"] == first["p10"] == again["p10"]
    shown(stage, wanted(photos[0], 60))
    assert len(made_count) == 5


def test_a_later_run_takes_what_was_kept(
    tmp_path: Path, photos: list[Path], made_count: list[int]
) -> None:
    first = shown(PictureStage(ContentStore(tmp_path / "kept")), *map(wanted, photos))
    later = shown(PictureStage(ContentStore(tmp_path / "kept")), *map(wanted, photos))
    assert later == first
    assert len(made_count) == 4
    fresh = shown(PictureStage(ContentStore(tmp_path / "kept"), fresh=True), *map(wanted, photos))
    assert fresh == first
    assert len(made_count) == 8
    assert len(list((tmp_path / "kept").iterdir())) == 4


def test_one_worker_and_two_make_the_same(tmp_path: Path, photos: list[Path]) -> None:
    one = PictureStage(ContentStore(None), workers=1)
    two = PictureStage(ContentStore(tmp_path / "kept"), workers=2)
    assert shown(one, *map(wanted, photos)) == shown(two, *map(wanted, photos))


@pytest.mark.parametrize("harm", ["cut", "swapped", "gone", "folder"])
def test_a_kept_picture_that_is_not_whole_is_made_again(
    tmp_path: Path, photos: list[Path], harm: str
) -> None:
    kept = tmp_path / "kept"
    first = shown(PictureStage(ContentStore(kept)), *map(wanted, photos))
    one, other, *_ = sorted(kept.iterdir())
    if harm == "cut":
        one.write_bytes(one.read_bytes()[:-10])
    elif harm == "swapped":
        one.write_bytes(other.read_bytes())
    else:
        one.unlink()
    if harm == "folder":
        one.mkdir()
    assert shown(PictureStage(ContentStore(kept)), *map(wanted, photos)) == first


def test_a_kept_picture_that_goes_between_making_and_reading(
    tmp_path: Path, photos: list[Path]
) -> None:
    stage = PictureStage(ContentStore(tmp_path / "kept"))
    pictures = stage.pictures([wanted(photos[0])])
    for path in (tmp_path / "kept").iterdir():
        path.unlink()
    assert Image.open(io.BytesIO(pictures["p10"].data)).format == "JPEG"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_cannot_be_written_costs_time_only(
    tmp_path: Path, photos: list[Path]
) -> None:
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o500)
    stage = PictureStage(ContentStore(locked / "kept"))
    assert set(shown(stage, *map(wanted, photos))) == {"p10", "p20", "p30", "p40"}


def test_a_file_where_the_folder_ought_to_be_costs_time_only(
    tmp_path: Path, photos: list[Path]
) -> None:
    (tmp_path / "kept").write_text("not a folder")
    stage = PictureStage(ContentStore(tmp_path / "kept"))
    assert set(shown(stage, *map(wanted, photos))) == {"p10", "p20", "p30", "p40"}
    assert (tmp_path / "kept").read_text() == "not a folder"


def test_a_photo_that_changed_since_it_was_measured(tmp_path: Path, photos: list[Path]) -> None:
    asked = wanted(photos[0])
    photo(photos[0], 99)
    stage = PictureStage(ContentStore(tmp_path / "kept"))
    with pytest.raises(UnreadableInput, match=r"p10\.jpg was changed or taken away while"):
        stage.pictures([asked])
    assert not (tmp_path / "kept").exists()


@pytest.mark.parametrize("judged", [True, False])
def test_a_photo_taken_away_since_is_a_sentence(
    tmp_path: Path, photos: list[Path], judged: bool
) -> None:
    asked = wanted(photos[0])
    asked = asked if judged else replace(asked, sha256=None)
    photos[0].unlink()
    stage = PictureStage(ContentStore(tmp_path / "kept"))
    with pytest.raises(UnreadableInput, match=r"p10\.jpg was changed or taken away while"):
        stage.pictures([asked])


def test_the_limit_takes_the_longest_kept_first(tmp_path: Path, photos: list[Path]) -> None:
    kept = tmp_path / "kept"
    shown(PictureStage(ContentStore(kept)), *map(wanted, photos))
    for age, path in enumerate(sorted(kept.iterdir())):
        os.utime(path, (1_000_000 - age, 1_000_000 - age))
    (kept / "abc.tmp").write_bytes(b"left by a killed run")
    (kept / "notes.txt").write_text("somebody's own")
    oldest_first = sorted(kept.glob("*.jpg"), key=lambda path: path.stat().st_mtime)
    room_for_three = sum(path.stat().st_size for path in oldest_first[1:])
    store = ContentStore(kept, limit_bytes=room_for_three)
    store.tidy()
    assert sorted(kept.glob("*.jpg")) == sorted(oldest_first[1:])
    assert not (kept / "abc.tmp").exists()
    assert (kept / "notes.txt").exists()


def test_what_this_run_used_is_taken_last(tmp_path: Path, photos: list[Path]) -> None:
    kept = tmp_path / "kept"
    shown(PictureStage(ContentStore(kept)), *map(wanted, photos))
    by_age = sorted(kept.glob("*.jpg"))
    for age, path in enumerate(by_age):
        os.utime(path, (1_000_000 + age, 1_000_000 + age))
    store = ContentStore(kept, limit_bytes=by_age[0].stat().st_size)
    used = by_age[0].name.partition("-")[0]
    assert store.take(used) is not None
    store.tidy()
    assert sorted(kept.glob("*.jpg")) == [by_age[0]]


def test_progress_counts_what_is_made(tmp_path: Path, photos: list[Path]) -> None:
    said: list[tuple[str, int, int]] = []
    stage = PictureStage(ContentStore(tmp_path / "kept"), progress=lambda *told: said.append(told))
    stage.pictures([wanted(path) for path in photos])
    assert [done for _, done, _ in said] == [1, 2, 3, 4]
    assert {of for *_, of in said} == {4}
