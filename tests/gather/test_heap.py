"""What is read from folders, zips and files; and the zips that mean harm, each refused by name."""

import io
import os
import stat
import struct
import zipfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from dossier.errors import UnreadableInput
from dossier.gather import heap as heaps
from dossier.gather import zips
from dossier.gather.heap import Heap, opener, read_heap
from tests.gather.conftest import photo_bytes, put, tree_of, zipped

PHOTO = photo_bytes(1, datetime(2026, 9, 14, 10, 0))


def read(tmp_path: Path, *sources: Path) -> Heap:
    """Return the heap of these sources."""
    scratch = tmp_path / "scratch"
    scratch.mkdir(exist_ok=True)
    with opener() as opened:
        made = read_heap(sources, opened, scratch)
    assert list(scratch.iterdir()) == []
    return made


def names(heap: Heap) -> list[str]:
    """Return the names of the files that are gathered."""
    return [seen.file.name for seen in heap.files]


def reasons(heap: Heap) -> dict[str, str]:
    """Return why each file is passed by."""
    return {refused.name: refused.why for refused in heap.refused}


def test_folders_zips_and_files_are_one_list_and_stay_as_they_are(tmp_path: Path) -> None:
    put(tmp_path / "in" / "phone" / "deck" / "a.jpg", PHOTO)
    put(tmp_path / "in" / "phone" / ".hidden" / "b.jpg", PHOTO)
    put(tmp_path / "in" / "phone" / "Thumbs.db", b"x")
    members = {"deck/c.jpg": PHOTO, "__MACOSX/deck/._c.jpg": b"x", "deck/.DS_Store": b"x"}
    zipped(tmp_path / "in" / "mail" / "crew.zip", members)
    single = put(tmp_path / "in" / "d.jpg", PHOTO)
    before = tree_of(tmp_path / "in")
    found = read(tmp_path, tmp_path / "in" / "phone", tmp_path / "in" / "mail", single)
    assert names(found) == ["phone/deck/a.jpg", "mail/crew.zip/deck/c.jpg", "d.jpg"]
    assert found.refused == ()
    assert tree_of(tmp_path / "in") == before
    assert {seen.fact.taken_at_local for seen in found.files} == {datetime(2026, 9, 14, 10, 0)}


def test_two_sources_of_one_name_are_told_apart(tmp_path: Path) -> None:
    for phone in ("one", "two"):
        put(tmp_path / phone / "DCIM" / "a.jpg", PHOTO)
    found = read(tmp_path, tmp_path / "one" / "DCIM", tmp_path / "two" / "DCIM")
    assert names(found) == ["DCIM/a.jpg", "DCIM (2)/a.jpg"]


def test_a_source_that_is_not_there_ends_the_run(tmp_path: Path) -> None:
    with pytest.raises(UnreadableInput, match="nowhere is not there"):
        read(tmp_path, tmp_path / "nowhere")


def test_links_in_folders_are_named_and_not_followed(tmp_path: Path) -> None:
    secret = put(tmp_path / "secret" / "s.jpg", PHOTO)
    zipped(tmp_path / "secret" / "z.zip", {"a.jpg": PHOTO})
    folder = tmp_path / "phone"
    folder.mkdir()
    (folder / "file.jpg").symlink_to(secret)
    (folder / "sub").symlink_to(secret.parent)
    (folder / "z.zip").symlink_to(tmp_path / "secret" / "z.zip")
    os.mkfifo(folder / "pipe.jpg")
    found = read(tmp_path, folder)
    assert found.files == ()
    assert set(reasons(found)) == {
        *("phone/file.jpg", "phone/sub", "phone/z.zip", "phone/pipe.jpg"),
    }
    assert "is a link" in reasons(found)["phone/file.jpg"]


def test_kind_is_judged_by_content(tmp_path: Path) -> None:
    put(tmp_path / "in" / "really-a-photo.pdf", PHOTO)
    put(tmp_path / "in" / "really-text.jpg", b"hello there")
    put(tmp_path / "in" / "empty.jpg", b"")
    put(tmp_path / "in" / "letter.docx", zipped(tmp_path / "x.zip", {"a": b"b"}).read_bytes())
    found = read(tmp_path, tmp_path / "in")
    assert [(seen.file.name, seen.fact.kind) for seen in found.files] == [
        ("in/really-a-photo.pdf", "jpeg")
    ]
    assert set(reasons(found)) == {"in/really-text.jpg", "in/empty.jpg", "in/letter.docx"}


@pytest.mark.parametrize(
    "name", ["line\nbreak.jpg", "esc\x1b[2J.jpg", "n/a.jpg", "turn\u202eed.jpg"]
)
def test_a_name_that_could_steer_a_terminal_or_a_record_is_passed_by(
    tmp_path: Path, name: str
) -> None:
    put(tmp_path / "z" / "ok.jpg", PHOTO)
    # A single file's name is shown without a folder before it, so n/a itself can stand there.
    made = zipped(tmp_path / "z.zip", {name: PHOTO, "ok.jpg": PHOTO})
    found = read(tmp_path, made)
    if name == "n/a.jpg":
        assert len(found.files) == 2
    else:
        assert names(found) == ["z.zip/ok.jpg"]
        assert all(refused.name.isprintable() for refused in found.refused)


def test_a_name_that_reads_as_not_applicable_is_passed_by(tmp_path: Path) -> None:
    found = read(tmp_path, put(tmp_path / "not applicable.jpg", PHOTO))
    assert found.files == ()
    assert "a record would not keep" in reasons(found)["'not applicable.jpg'"]


# --- zips ---------------------------------------------------------------------------------------


def link_member() -> tuple[zipfile.ZipInfo, bytes]:
    info = zipfile.ZipInfo("link.jpg")
    info.create_system, info.external_attr = 3, (stat.S_IFLNK | 0o777) << 16
    return info, b"/etc/hostname"


def device_member() -> tuple[zipfile.ZipInfo, bytes]:
    info = zipfile.ZipInfo("device.jpg")
    info.create_system, info.external_attr = 3, (stat.S_IFCHR | 0o666) << 16
    return info, b""


def zip_in_zip() -> tuple[str, bytes]:
    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w") as made:
        made.writestr("a.jpg", PHOTO)
    return "inner.jpg", inner.getvalue()


@pytest.mark.parametrize(
    ("member", "why"),
    [
        (lambda: ("/etc/a.jpg", PHOTO), "starts at a disk"),
        (lambda: ("C:/a.jpg", PHOTO), "starts at a disk"),
        (lambda: ("..\\a.jpg", PHOTO), "starts at a disk"),
        (lambda: ("../a.jpg", PHOTO), "leads out of the zip"),
        (lambda: ("deck/../../a.jpg", PHOTO), "leads out of the zip"),
        (lambda: ("deck//a.jpg", PHOTO), "leads out of the zip"),
        (link_member, "is a link"),
        (device_member, "is a device"),
        (lambda: ("more.zip", PHOTO), "zip inside a zip"),
        (zip_in_zip, "zip inside a zip"),
        (lambda: ("bomb.jpg", b"\0" * 3_000_000), "more than 200 times"),
    ],
)
def test_a_member_that_means_harm_is_named_and_the_rest_goes_on(
    tmp_path: Path, member: Callable[[], tuple[str | zipfile.ZipInfo, bytes]], why: str
) -> None:
    path = tmp_path / "sent.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        name, data = member()
        made.writestr(name, data)
        made.writestr("good.jpg", PHOTO)
    found = read(tmp_path, path)
    assert names(found) == ["sent.zip/good.jpg"]
    [said] = reasons(found).values()
    assert why in said


def test_a_member_in_twice_is_read_once_and_named(tmp_path: Path) -> None:
    path = tmp_path / "sent.zip"
    with zipfile.ZipFile(path, "w") as made:
        made.writestr("a.jpg", PHOTO)
        with pytest.warns(UserWarning, match="Duplicate name"):
            made.writestr("a.jpg", photo_bytes(2))
    found = read(tmp_path, path)
    assert names(found) == ["sent.zip/a.jpg"]
    assert "twice" in reasons(found)["sent.zip/a.jpg"]


def test_a_member_that_lies_about_its_size_is_refused(tmp_path: Path) -> None:
    """The claimed size is written smaller than what unpacks; nothing beyond the claim is taken."""
    path = tmp_path / "sent.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("a.jpg", PHOTO + bytes(range(256)) * 40)
    data = bytearray(path.read_bytes())
    at = data.rfind(b"PK\x01\x02")
    struct.pack_into("<L", data, at + 24, 100)
    path.write_bytes(data)
    found = read(tmp_path, path)
    assert found.files == ()
    assert "damaged in the zip" in reasons(found)["sent.zip/a.jpg"]


def test_a_locked_member_is_refused(tmp_path: Path) -> None:
    path = zipped(tmp_path / "sent.zip", {"a.jpg": PHOTO})
    data = bytearray(path.read_bytes())
    data[data.rfind(b"PK\x01\x02") + 8] |= 1
    path.write_bytes(data)
    assert "password" in reasons(read(tmp_path, path))["sent.zip/a.jpg"]


@pytest.mark.parametrize("keep", [0.3, 0.95])
def test_a_zip_cut_short_is_named(tmp_path: Path, keep: float) -> None:
    path = zipped(tmp_path / "sent.zip", {f"{n}.jpg": photo_bytes(n) for n in range(3)})
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * keep)])
    found = read(tmp_path, path)
    assert found.files == ()
    assert "cut short" in reasons(found)["sent.zip"]


def test_a_directory_too_long_to_hold_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = zipped(tmp_path / "sent.zip", {"a.jpg": PHOTO})
    data = bytearray(path.read_bytes())
    struct.pack_into("<L", data, data.rfind(b"PK\x05\x06") + 12, zips.MOST_DIRECTORY_BYTES + 1)
    path.write_bytes(data)
    assert "more members than" in reasons(read(tmp_path, path))["sent.zip"]


def test_the_caps_are_those_that_are_told() -> None:
    caps = (zips.MOST_FILES, zips.MOST_BYTES, zips.MOST_BYTES_IN_ALL, zips.MOST_RATIO)
    assert caps == (5_000, 100_000_000, 4_000_000_000, 200)


def test_files_beyond_the_count_are_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(heaps, "MOST_FILES", 3)
    found = read(
        tmp_path, zipped(tmp_path / "z.zip", {f"{n}.jpg": photo_bytes(n) for n in range(5)})
    )
    assert len(found.files) == 3
    assert reasons(found) == {"z.zip/3.jpg": "and 1 after it are beyond the 3 files of one run."}


def test_bytes_beyond_the_total_are_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(heaps, "MOST_BYTES_IN_ALL", 2 * len(PHOTO) + 1)
    made = zipped(tmp_path / "z.zip", {f"{n}.jpg": PHOTO for n in range(4)})
    found = read(tmp_path, made)
    assert len(found.files) == 2
    assert "beyond" in reasons(found)["z.zip/2.jpg"]


def test_one_file_above_the_size_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(zips, "MOST_BYTES", len(PHOTO) - 1)
    found = read(tmp_path, zipped(tmp_path / "z.zip", {"a.jpg": PHOTO}))
    assert "above the limit" in reasons(found)["z.zip/a.jpg"]
