"""A listed path is never followed out of the job folder; nothing but a plain file is opened."""

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import dossier
from dossier.evidence import PHOTO_LIMIT_BYTES, files, list_files, measure


def _fault(job: Path, file: str) -> str:
    fact = measure(job, [file], []).photos[file]
    assert fact.fault is not None
    assert fact.sha256 is None
    assert fact.kind is None
    # The same path among the papers is refused in the same words.
    assert measure(job, [], [file]).papers[file].fault == fact.fault
    return fact.fault


@pytest.mark.parametrize(
    ("file", "says"),
    [
        ("../outside.jpg", "leads out of a folder by “..”"),
        ("photos/../../outside.jpg", "leads out of a folder by “..”"),
        ("/etc/hostname", "starts at a disk"),
        ("C:/photos/a.jpg", "starts at a disk"),
        ("photos\\a.jpg", "has a backslash"),
        ("", "names no file"),
        (".", "names no file"),
        ("photos/a\0.jpg", "names no file"),
        ("photos/\ud800.jpg", "names no file"),
        ("photos/nothing.jpg", "is not there"),
        ("nowhere/nothing.jpg", "is not there"),
        ("photos/" + "n" * 300 + ".jpg", "is not there"),
    ],
)
def test_a_path_that_names_no_file_here_is_a_fault(job: Path, file: str, says: str) -> None:
    (job.parent / "outside.jpg").write_bytes(b"outside")
    assert _fault(job, file).startswith(says)
    assert not measure(job, [file], []).photos[file].exists


def test_links_are_refused_at_the_end_and_on_the_way(job: Path, encoded) -> None:
    outside = job.parent / "outside"
    outside.mkdir()
    (outside / "a.jpg").write_bytes(encoded())
    (job / "photos/link.jpg").symlink_to(outside / "a.jpg")
    (job / "photos/deck").symlink_to(outside)
    (job / "photos/dangling.jpg").symlink_to(outside / "nothing.jpg")
    assert _fault(job, "photos/link.jpg").startswith("is a link")
    assert _fault(job, "photos/dangling.jpg").startswith("is a link")
    assert _fault(job, "photos/deck/a.jpg").startswith("lies behind a link")
    # The job folder itself may be reached by a link: a person chose it on the command line.
    (job / "photos/b.jpg").write_bytes(encoded())
    by_link = job.parent / "by-link"
    by_link.symlink_to(job)
    assert measure(by_link, ["photos/b.jpg"], []).photos["photos/b.jpg"].fault is None


def test_a_link_put_in_place_after_the_look_is_not_followed(
    job: Path, encoded, monkeypatch: pytest.MonkeyPatch
) -> None:
    secret = job.parent / "secret.jpg"
    secret.write_bytes(encoded())
    victim = job / "photos/a.jpg"
    victim.write_bytes(encoded())
    real_open = os.open

    def swap_then_open(path, flags, *rest, **more):
        if path == "a.jpg":
            victim.unlink()
            victim.symlink_to(secret)
        return real_open(path, flags, *rest, **more)

    monkeypatch.setattr(files.os, "open", swap_then_open)
    contents = files.read(job, "photos/a.jpg", PHOTO_LIMIT_BYTES)
    assert contents.data is None
    assert contents.look.fault.startswith("is a link")


def test_a_pipe_is_never_waited_for(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    os.mkfifo(job / "photos/pipe.jpg")
    assert _fault(job, "photos/pipe.jpg").startswith("is a pipe or a device")
    # A pipe put in place after the look is opened without waiting and not read.
    (job / "photos/plain.jpg").write_bytes(b"x")
    plain = (job / "photos/plain.jpg").stat()
    real = files._Place.look
    monkeypatch.setattr(
        files._Place, "look", lambda place: plain if place.name == "pipe.jpg" else real(place)
    )
    contents = files.read(job, "photos/pipe.jpg", PHOTO_LIMIT_BYTES)
    assert contents.data is None
    assert contents.look.fault.startswith("was changing")


def test_a_folder_is_no_file_and_a_file_is_no_folder(job: Path) -> None:
    (job / "photos/deck").mkdir()
    (job / "photos/a.txt").write_text("a")
    assert _fault(job, "photos/deck").startswith("is a folder")
    assert _fault(job, "photos/a.txt/b.jpg").startswith("is not there")
    assert measure(job, ["photos/deck"], []).photos["photos/deck"].exists


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may read everything")
def test_a_file_without_permission_is_a_fault(job: Path, encoded) -> None:
    (job / "photos/a.jpg").write_bytes(encoded())
    (job / "photos/a.jpg").chmod(0)
    assert _fault(job, "photos/a.jpg").startswith("cannot be read")
    (job / "photos/deck").mkdir()
    (job / "photos/deck").chmod(0)
    assert list_files(job, "photos") == ("photos/a.jpg", "photos/deck")
    (job / "photos/deck").chmod(0o700)


def test_a_refused_opening_is_a_fault_for_everybody(
    job: Path, encoded, monkeypatch: pytest.MonkeyPatch
) -> None:
    (job / "photos/a.jpg").write_bytes(encoded())

    def refuse(place, flags):
        if place.name == "a.jpg":
            raise PermissionError(13, "Permission denied")
        return os.open(place.name, flags, dir_fd=place.folder_fd)

    monkeypatch.setattr(files._Place, "open", refuse)
    fact = measure(job, ["photos/a.jpg"], []).photos["photos/a.jpg"]
    assert fact.exists
    assert fact.fault.startswith("cannot be read: this account has no permission")


def test_a_folder_that_cannot_be_listed_is_shown_itself(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (job / "photos/deck").mkdir()
    (job / "photos/deck/a.jpg").write_bytes(b"x")
    real = files._Place.entries

    def refuse(place):
        if place.name == "deck":
            raise PermissionError(13, "Permission denied")
        return real(place)

    monkeypatch.setattr(files._Place, "entries", refuse)
    assert list_files(job, "photos") == ("photos/deck",)


def test_a_file_above_the_limit_is_not_read(job: Path) -> None:
    for name, size in (("over.jpg", PHOTO_LIMIT_BYTES + 1), ("at.jpg", PHOTO_LIMIT_BYTES)):
        with (job / "photos" / name).open("wb") as opened:
            opened.truncate(size)
    fault = _fault(job, "photos/over.jpg")
    assert fault == "is 100.1 MB, above the limit of 100.0 MB. Save a smaller copy."
    assert measure(job, ["photos/over.jpg"], []).photos["photos/over.jpg"].size_bytes == 100_000_001
    assert files.look_at(job, "photos/at.jpg", PHOTO_LIMIT_BYTES).fault is None


def test_a_file_that_grows_while_it_is_read_is_not_kept(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    growing = job / "photos/a.jpg"
    growing.write_bytes(b"abc")
    assert files.read(job, "photos/a.jpg", 100).lasting
    real = os.fdopen

    class Growing:
        def __init__(self, fd: int, mode: str) -> None:
            self.opened = real(fd, mode)
            self.fileno = self.opened.fileno

        def __enter__(self) -> "Growing":
            return self

        def __exit__(self, *ending: object) -> None:
            self.opened.close()

        def read(self, most: int) -> bytes:
            growing.write_bytes(b"abcdef")
            return self.opened.read(most)

    monkeypatch.setattr(files.os, "fdopen", Growing)
    contents = files.read(job, "photos/a.jpg", 100)
    assert contents.data == b"abcdef"
    assert not contents.lasting
    growing.write_bytes(b"abc")
    # Grown above the limit while it was read, it is refused.
    assert files.read(job, "photos/a.jpg", 5).data is None


def test_without_opened_folders_the_same_is_refused(
    job: Path, encoded, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files, "_HAS_DIR_FD", False)
    outside = job.parent / "outside"
    outside.mkdir()
    (outside / "a.jpg").write_bytes(encoded())
    (job / "photos/deck").symlink_to(outside)
    (job / "photos/link.jpg").symlink_to(outside / "a.jpg")
    (job / "photos/a.jpg").write_bytes(encoded())
    assert _fault(job, "photos/deck/a.jpg").startswith("lies behind a link")
    assert _fault(job, "photos/link.jpg").startswith("is a link")
    assert measure(job, ["photos/a.jpg"], []).photos["photos/a.jpg"].fault is None
    assert list_files(job, "photos") == ("photos/a.jpg", "photos/deck", "photos/link.jpg")


def test_listing_shows_links_and_leaves_out_what_a_desktop_writes(job: Path) -> None:
    deep = job / "photos/deck/slope-a"
    deep.mkdir(parents=True)
    for file in ("b.jpg", "a.jpg", "Thumbs.db", ".DS_Store", ".hidden.jpg", "desktop.ini"):
        (deep / file).write_bytes(b"x")
    (job / "photos/.trash").mkdir()
    (job / "photos/.trash/c.jpg").write_bytes(b"x")
    (job / "photos/linked").symlink_to(job.parent)
    (job / "photos/link.jpg").symlink_to("/etc/hostname")
    (job / "papers/permit.pdf").write_bytes(b"x")
    assert list_files(job, "photos") == (
        "photos/deck/slope-a/a.jpg",
        "photos/deck/slope-a/b.jpg",
        "photos/link.jpg",
        "photos/linked",
    )
    assert list_files(job, "photos/linked") == ()
    assert list_files(job, "nowhere") == ()
    assert list_files(job, "..") == ()
    assert list_files(job / "nothing", "photos") == ()


def test_strays_are_what_no_listing_names(job: Path) -> None:
    for file in ("photos/a.jpg", "photos/b.jpg", "papers/c.pdf", "papers/d.pdf"):
        (job / file).write_bytes(b"x")
    facts = measure(job, ["./photos//a.jpg"], ["papers/c.pdf", "photos/b.jpg"])
    assert facts.strays == ("papers/d.pdf",)
    assert list(facts.photos) == ["./photos//a.jpg"]
    assert measure(job, [], []).strays == (
        "papers/c.pdf",
        "papers/d.pdf",
        "photos/a.jpg",
        "photos/b.jpg",
    )


def test_sha256_and_size_are_what_sha256sum_says(
    job: Path, encoded, run_tool: Callable[..., str]
) -> None:
    contents = {
        "photos/a.jpg": encoded(),
        "photos/empty.jpg": b"",
        "photos/cut.jpg": encoded()[:90],
    }
    for file, data in contents.items():
        (job / file).write_bytes(data)
    facts = measure(job, list(contents), []).photos
    printed = run_tool("sha256sum", *(job / file for file in contents))
    sums = [line.split()[0] for line in printed.splitlines()]
    assert [facts[file].sha256 for file in contents] == sums
    assert [facts[file].size_bytes for file in contents] == [len(d) for d in contents.values()]
    # FIPS 180-4 leaves no other sum for no bytes at all.
    assert facts["photos/empty.jpg"].sha256 == hashlib.sha256(b"").hexdigest()


def test_progress_counts_every_file_once(job: Path, encoded) -> None:
    (job / "photos/a.jpg").write_bytes(encoded())
    calls: list[tuple[str, int, int]] = []
    listed = ["photos/a.jpg", "photos/a.jpg", "photos/none.jpg"]
    measure(job, listed, ["papers/none.pdf"], progress=lambda *call: calls.append(call))
    assert calls == [
        ("photos/a.jpg", 1, 3),
        ("photos/none.jpg", 2, 3),
        ("papers/none.pdf", 3, 3),
    ]


def test_facts_cannot_be_changed(job: Path) -> None:
    facts = measure(job, ["photos/a.jpg"], [])
    with pytest.raises(TypeError):
        facts.photos["photos/a.jpg"] = None  # type: ignore[index]
    assert facts == measure(job, ["photos/a.jpg"], [])


def test_the_room_loads_neither_the_layout_library_nor_the_pdf_reader(job: Path, encoded) -> None:
    (job / "photos/a.jpg").write_bytes(encoded())
    program = (
        "import sys; from pathlib import Path; from dossier.evidence import measure;"
        "measure(Path(sys.argv[1]), ['photos/a.jpg'], []);"
        "print(sorted({'weasyprint', 'pypdf', 'cryptography'} & set(sys.modules)))"
    )
    home = str(Path(dossier.__file__).parents[1])
    done = subprocess.run(
        [sys.executable, "-c", program, str(job)],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": home},
    )
    assert done.stdout.strip() == "[]"
