"""Whatever is changed in a sealed folder is named: any bit of any file, any name, any manifest, any link."""

import os
import random
import shutil
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from dossier.archive.bags import manifest_digests, manifest_text
from dossier.archive.supplements import add_supplement
from dossier.archive.verify import verify, verify_bag
from dossier.cli import main
from dossier.errors import UnreadableInput
from tests.archive.test_supplements import ENTRY, sealed_job, tree

_BY_THE_OTHER = (
    "manifest-sha256.txt: was changed, or its line in tagmanifest-sha256.txt was. What is said of data/ stands "
    "on it."
)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job with its closing and two supplements sealed."""
    folder = sealed_job(tmp_path / "job")
    for _ in range(2):
        add_supplement(folder, ENTRY, {"note.pdf": b"%PDF"}, {})
    return folder


def bags(job: Path) -> list[Path]:
    """Return the sealed folders."""
    return sorted((job / "sealed").iterdir())


def rewrite(bag: Path) -> None:
    """Make a bag's manifests fit what it holds now, as somebody would who covers a change up."""
    for name, files in (
        ("manifest-sha256.txt", [p for p in (bag / "data").rglob("*") if p.is_file()]),
        (
            "tagmanifest-sha256.txt",
            [bag / "bagit.txt", bag / "bag-info.txt", bag / "manifest-sha256.txt"],
        ),
    ):
        digests = {
            path.relative_to(bag).as_posix(): sha256(path.read_bytes()).hexdigest()
            for path in files
        }
        (bag / name).write_text(manifest_text(digests))


def test_what_was_sealed_has_no_difference(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = tree(job)
    assert main(["verify", str(job)]) == 0
    out = capsys.readouterr().out
    assert "No difference found." in out
    assert "a rewrite of the whole, manifests and all, cannot be ruled out" in out
    assert tree(job) == before


def test_a_flipped_bit_in_any_file_is_named(job: Path) -> None:
    chance = random.Random(8493)
    tried = 0
    for bag in bags(job):
        for path in sorted(path for path in bag.rglob("*") if path.is_file()):
            data = path.read_bytes()
            # Every bit of the first byte, and a few anywhere.
            places = [(0, bit) for bit in range(8)]
            places += [(chance.randrange(len(data)), chance.randrange(8)) for _ in range(6)]
            for at, bit in places:
                flipped = bytearray(data)
                flipped[at] ^= 1 << bit
                path.write_bytes(flipped)
                said = verify(job).differences
                name = path.relative_to(bag).as_posix()
                assert any(name in one and bag.name in one for one in said), (name, at, bit)
                tried += 1
            path.write_bytes(data)
    assert tried > 200
    assert verify(job).differences == ()


def _mutated(data: bytes, chance: random.Random) -> bytes:
    """Return other bytes: a slice cut out, doubled, swapped for noise, or moved to the end."""
    start = chance.randrange(len(data))
    end = min(len(data), start + chance.randrange(1, 40))
    middle = {
        "cut": b"",
        "doubled": data[start:end] * 2,
        "noise": bytes(chance.randrange(256) for _ in range(end - start)),
        "breaks": b"\r\n\x00\xff\n",
    }[chance.choice(["cut", "doubled", "noise", "breaks"])]
    return data[:start] + middle + data[end:]


def test_no_edit_of_a_manifest_goes_unseen_or_ends_in_a_traceback(job: Path) -> None:
    chance = random.Random(2131)
    bag = bags(job)[1]
    names = ("bagit.txt", "bag-info.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt")
    whole = {name: (bag / name).read_bytes() for name in names}
    tried = 0
    for number in range(200):
        name = names[number % len(names)]
        data = _mutated(whole[name], chance)
        if data == whole[name]:
            continue
        (bag / name).write_bytes(data)
        assert verify(job).differences, (number, name, data)
        (bag / name).write_bytes(whole[name])
        tried += 1
    assert tried > 150
    assert verify(job).differences == ()


def _remove(bag: Path) -> None:
    (bag / "data" / "entry.yaml").unlink()


def _add(bag: Path) -> None:
    (bag / "data" / "files" / "late.pdf").parent.mkdir()
    (bag / "data" / "files" / "late.pdf").write_bytes(b"x")


def _add_tag(bag: Path) -> None:
    (bag / "note.txt").write_text("x")


def _add_folder(bag: Path) -> None:
    (bag / "more").mkdir()


def _add_empty(bag: Path) -> None:
    (bag / "data" / "more").mkdir()


def _link(bag: Path) -> None:
    file = bag / "data" / "entry.yaml"
    shutil.copy(file, bag.parent.parent / "same.yaml")
    file.unlink()
    file.symlink_to(bag.parent.parent / "same.yaml")


def _link_folder(bag: Path) -> None:
    shutil.move(bag / "data" / "documents", bag.parent.parent / "documents")
    (bag / "data" / "documents").symlink_to(bag.parent.parent / "documents")


def _pipe(bag: Path) -> None:
    os.mkfifo(bag / "data" / "pipe")


def _manifest_line_gone(bag: Path) -> None:
    path = bag / "manifest-sha256.txt"
    path.write_text("".join(path.read_text().splitlines(keepends=True)[1:]))


def _manifest_fits_an_edit(bag: Path) -> None:
    edited = bag / "data" / "entry.yaml"
    edited.write_bytes(edited.read_bytes() + b"# later\n")
    path = bag / "manifest-sha256.txt"
    digests, _ = manifest_digests(path.read_text())
    digests["data/entry.yaml"] = sha256(edited.read_bytes()).hexdigest()
    path.write_text(manifest_text(digests))


def _manifest_leads_out(bag: Path) -> None:
    path = bag / "manifest-sha256.txt"
    path.write_text(path.read_text() + f"{'0' * 64}  ../../../outside\n")


def _manifest_not_utf8(bag: Path) -> None:
    path = bag / "manifest-sha256.txt"
    path.write_bytes(path.read_bytes() + b"\xff\n")


def _manifest_gone(bag: Path) -> None:
    (bag / "manifest-sha256.txt").unlink()


def _tag_manifest_gone(bag: Path) -> None:
    (bag / "tagmanifest-sha256.txt").unlink()


def _tag_manifest_capital(bag: Path) -> None:
    path = bag / "tagmanifest-sha256.txt"
    path.write_text(path.read_text().replace("a", "A", 1))


def _tag_manifest_shorter(bag: Path) -> None:
    path = bag / "tagmanifest-sha256.txt"
    path.write_text("".join(path.read_text().splitlines(keepends=True)[1:]))


def _tag_manifest_empty(bag: Path) -> None:
    (bag / "tagmanifest-sha256.txt").write_text("")


def _info_edited(bag: Path) -> None:
    path = bag / "bag-info.txt"
    path.write_text(path.read_text().replace("2031", "2030"))


def _declaration_gone(bag: Path) -> None:
    (bag / "bagit.txt").unlink()


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (_remove, "data/entry.yaml: is missing."),
        (_add, "data/files/late.pdf: was added."),
        (_add_tag, "note.txt: was added."),
        (_add_folder, "more: a folder was added."),
        (_add_empty, "data/more/: an empty folder was added."),
        (_link, "data/entry.yaml: is a link, and a sealed folder holds none."),
        (_link_folder, "data/documents: is a link, and a sealed folder holds none."),
        (_pipe, "data/pipe: is neither a file nor a folder, and a sealed folder holds none."),
        (
            _manifest_line_gone,
            _BY_THE_OTHER,
        ),
        (
            _manifest_fits_an_edit,
            _BY_THE_OTHER,
        ),
        (_manifest_leads_out, "../../../outside: is missing."),
        (
            _manifest_not_utf8,
            _BY_THE_OTHER,
        ),
        (_manifest_gone, "manifest-sha256.txt: is missing."),
        (
            _tag_manifest_gone,
            "tagmanifest-sha256.txt: is missing, so that nothing vouches for the other manifests.",
        ),
        (
            _tag_manifest_capital,
            "tagmanifest-sha256.txt: was changed; it is not written as it was when it was sealed.",
        ),
        (
            _tag_manifest_shorter,
            "tagmanifest-sha256.txt: does not list bag-info.txt, and so was changed.",
        ),
        (
            _tag_manifest_empty,
            "tagmanifest-sha256.txt: does not list manifest-sha256.txt, and so was changed.",
        ),
        (_info_edited, "bag-info.txt: was changed, or its line in tagmanifest-sha256.txt was."),
        (_declaration_gone, "bagit.txt: is missing."),
    ],
)
def test_an_edit_by_hand_is_named(
    job: Path,
    edit: Callable[[Path], None],
    says: str,
    capsys: pytest.CaptureFixture[str],
) -> None:
    bag = bags(job)[1]
    edit(bag)
    assert main(["verify", str(job)]) == 5
    told = capsys.readouterr()
    assert f"# {bag.name}: {says}" in told.out.splitlines()
    assert told.err == ""
    assert says in verify_bag(bag).differences


def test_a_bag_rewritten_with_its_manifests_breaks_the_chain(job: Path) -> None:
    first, second, _ = bags(job)
    (first / "data" / "job.yaml").write_bytes(b"record: 1\n# another\n")
    rewrite(first)
    [said] = verify(job).differences
    assert said.startswith(f"{second.name}: carries the digest ")
    assert "one of the two was changed after it was sealed" in said


def test_the_last_bag_rewritten_as_a_whole_is_said_to_go_unseen(job: Path) -> None:
    # No digest of the last one is kept anywhere; this is what the note is for.
    last = bags(job)[-1]
    (last / "data" / "entry.yaml").write_bytes(ENTRY.replace(b"a copy", b"two copies"))
    rewrite(last)
    found = verify(job)
    assert found.differences == ()
    assert any("cannot be ruled out" in note for note in found.notes)


def test_a_missing_bag_breaks_the_chain(job: Path) -> None:
    first, second, third = bags(job)
    shutil.rmtree(second)
    said = verify(job).differences
    assert f"{third.name}: does not follow on {first.name}" in said[0]
    assert said[1].startswith(f"{third.name}: carries the digest")


def test_a_missing_closing_is_named(job: Path) -> None:
    first, second, _ = bags(job)
    shutil.rmtree(first)
    assert (
        verify(job).differences[0]
        == f"0001-closeout: is not there; the first folder is {second.name}."
    )
    shutil.rmtree(job / "sealed")
    (job / "sealed").mkdir()
    for _ in range(2):
        # Also where a first seal was cut off.
        with pytest.raises(UnreadableInput, match="or all were taken away cannot be told"):
            verify(job)
        (job / "sealed" / ".0001-closeout.dossier-new").mkdir(exist_ok=True)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda sealed: (sealed / "notes.txt").write_text("x"), "notes.txt: was added"),
        (lambda sealed: (sealed / "9-x").mkdir(), "9-x: was added"),
        (
            lambda sealed: (sealed / "0004-x").symlink_to(sealed / "0001-closeout"),
            "0004-x: is a link",
        ),
        (
            lambda sealed: shutil.copytree(sealed / "0001-closeout", sealed / "0004-copy"),
            "0004-copy: carries the digest none of the folder before it",
        ),
        (lambda sealed: (sealed / "0004-x").mkdir(), "0004-x: tagmanifest-sha256.txt: is missing"),
    ],
)
def test_whatever_is_put_into_sealed_is_named(
    job: Path, make: Callable[[Path], object], says: str
) -> None:
    make(job / "sealed")
    assert any(one.startswith(says) for one in verify(job).differences)


def test_a_sealed_folder_that_is_a_link_is_named(job: Path) -> None:
    (job / "sealed").rename(job.parent / "elsewhere")
    (job / "sealed").symlink_to(job.parent / "elsewhere")
    assert verify(job).differences == (
        "sealed: is a link, and what is sealed lies in the job folder itself.",
    )


def test_what_a_killed_run_left_is_told_and_no_difference(job: Path) -> None:
    (job / "sealed" / ".0004-2031-06-23-note.dossier-new").mkdir()
    found = verify(job)
    assert found.differences == ()
    assert "was left by a run that was cut off" in found.notes[0]


def test_one_bag_sealed_and_job_folder_are_all_taken(job: Path) -> None:
    assert [len(verify(place).bags) for place in (job, job / "sealed", bags(job)[1])] == [3, 3, 1]
    assert "by itself" in verify(bags(job)[1]).notes[0]
    copied = job.parent / "on-a-stick"
    shutil.copytree(bags(job)[1], copied)
    assert verify(copied).differences == ()


@pytest.mark.parametrize("place", ["nothing", "empty", "file"])
def test_a_place_with_nothing_sealed_is_a_sentence(tmp_path: Path, place: str) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(UnreadableInput):
        verify(tmp_path / place)
    assert main(["verify", str(tmp_path / place)]) == 3


def test_a_file_that_fails_to_be_read_is_a_sentence(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    real = os.open

    def failing(path: object, *args: int, **more: object) -> int:
        if str(path).endswith("entry.yaml"):
            raise OSError(5, "Input/output error")
        return real(path, *args, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "open", failing)
    assert main(["verify", str(job)]) == 3
    assert "entry.yaml cannot be read: Input/output error" in capsys.readouterr().err
