"""Filing is all or nothing: copies keep every byte, a kill at any moment leaves before or after, undo undoes."""

import hashlib
import json
import random
import shutil
from datetime import datetime
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.errors import CannotWrite, UnreadableInput
from dossier.gather.filing import STEPS, UNDO_STEPS, heal, undo
from dossier.record.files import PhotoList
from dossier.record.read import read_photo_list
from tests.conftest import pdf_with_text
from tests.gather.conftest import photo_bytes, put, tree_of, zipped
from tests.kills import gather, killed

HAND_WRITTEN = (
    b"# ours, please keep\r\n"
    b"photos:\r\n"
    b"    - file: photos/field/old.jpg   # nails\r\n"
    b'      caption: "Six nails: each"\r\n'
    b"\r\n"
    b"    # - file: not yet\r\n"
)


def nowhere(step: str) -> None:
    """Go on."""


@pytest.fixture
def heap(tmp_path: Path) -> Path:
    """Return a small heap: four placed photos, one without a time, one unknown, a paper, a zip."""
    home = tmp_path / "phone"
    for number in range(4):
        taken = datetime(2026, 9, 14, 10, number)
        put(home / "ice-barrier" / f"front {number}.jpg", photo_bytes(number, taken))
    put(home / "deck" / "back.jpg", photo_bytes(5))
    put(home / "IMG_7.jpg", photo_bytes(6))
    put(home / "ticket 55120-A.pdf", pdf_with_text("Ticket 55120-A"))
    zipped(home / "more.zip", {"field/back.png": photo_bytes(7, kind="PNG")})
    return home


def listed(job: Path) -> PhotoList:
    """Return the job's photo list as our reader sees it."""
    read = read_photo_list(job)
    assert read.model is not None, read.items
    return read.model


def test_originals_keep_every_byte_and_names_tell_their_content(job: Path, heap: Path) -> None:
    before = tree_of(heap)
    filed = gather(job, [heap], nowhere)
    assert tree_of(heap) == before
    assert len(filed.copies) == 8
    for file, made_from in filed.copies:
        data = (job / file).read_bytes()
        assert hashlib.sha256(data).hexdigest()[:8] in file
        if "more.zip" not in made_from:
            assert data == (heap.parent / made_from).read_bytes()
    digest = hashlib.sha256((heap / "ice-barrier" / "front 0.jpg").read_bytes()).hexdigest()
    assert (job / f"photos/ice-barrier/front-20260914-100000-{digest[:8]}.jpg").is_file()
    assert [path.suffix for path in (job / "photos" / "field").iterdir()] == [".png"]
    # The number of the ticket stays as it was written, since the rule book looks for it in the name.
    [ticket] = (job / "papers").iterdir()
    assert ticket.name.startswith("ticket-55120-A-")


def test_a_photo_without_a_camera_time_says_who_sent_it_and_when(job: Path, heap: Path) -> None:
    gather(job, [heap], nowhere)
    by_place = {(str(p.phase), p.slope): p for p in listed(job).photos}
    undated = by_place["deck", "back"]
    assert undated.received_from == "crew phone 2"
    assert str(undated.received_on) == "2026-10-20"
    dated = by_place["ice barrier", "front"]
    assert (dated.received_from, dated.received_on) == (None, None)


def test_an_unknown_photo_goes_to_unsorted_and_is_a_stray_until_placed(
    job: Path, heap: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    gather(job, [heap], nowhere)
    [unsorted] = (job / "photos" / "unsorted").iterdir()
    assert all("unsorted" not in photo.file for photo in listed(job).photos)
    main(["check", str(job), "--today", "2026-10-20"])
    assert f"photos/unsorted/{unsorted.name}" in capsys.readouterr().out


def test_a_hand_written_list_keeps_every_byte(job: Path, heap: Path) -> None:
    (job / "photos.yaml").write_bytes(HAND_WRITTEN)
    gather(job, [heap], nowhere)
    after = (job / "photos.yaml").read_bytes()
    kept = iter(after.splitlines())
    assert all(line in kept for line in HAND_WRITTEN.splitlines()), "every line, in its order"
    assert b"\n" not in after.replace(b"\r\n", b"")
    assert listed(job).photos[0].caption == "Six nails: each"
    assert len(listed(job).photos) == 7


@pytest.mark.parametrize(
    "text",
    [
        b"photos:\n- file: photos/field/old.jpg\n",
        b"photos:\n  - file: photos/field/old.jpg",
        b"photos:   # none yet\n  # - file: x\n",
        b"\xef\xbb\xbfphotos:\n  - file: photos/field/old.jpg\n\n\n",
        b"photos:\n  - file: photos/field/old.jpg\n    caption: |\n      two\n      lines\n# end\n",
        b"photos: []\n",
        b"{photos: []}\n",
        b"photos: [{file: photos/field/old.jpg}]   # one\n",
    ],
)
def test_other_layouts_are_appended_to_and_put_back(job: Path, heap: Path, text: bytes) -> None:
    (job / "photos.yaml").write_bytes(text)
    before = tree_of(job)
    count = len(listed(job).photos)
    gather(job, [heap], nowhere)
    assert len(listed(job).photos) == count + 6
    if b"[" not in text:
        kept = iter((job / "photos.yaml").read_bytes().splitlines())
        assert all(line in kept for line in text.splitlines())
    undo(job)
    assert tree_of(job) == before


@pytest.mark.parametrize("text", [b"photos:\n  file: photos/a.jpg\n", b"photos: [\n"])
def test_a_list_that_cannot_take_lines_is_refused_and_nothing_is_filed(
    job: Path, heap: Path, text: bytes
) -> None:
    (job / "photos.yaml").write_bytes(text)
    before = tree_of(job)
    with pytest.raises(UnreadableInput):
        gather(job, [heap], nowhere)
    assert tree_of(job) == before


def test_without_a_photo_list_one_is_made_and_taken_away_again(job: Path, heap: Path) -> None:
    (job / "photos.yaml").unlink()
    before = tree_of(job)
    gather(job, [heap], nowhere)
    assert len(listed(job).photos) == 6
    undo(job)
    assert tree_of(job) == before


def test_the_same_heap_again_files_nothing_and_leaves_the_undo_alone(job: Path, heap: Path) -> None:
    before = tree_of(job)
    gather(job, [heap], nowhere)
    after = tree_of(job)
    assert gather(job, [heap], nowhere).copies == ()
    assert tree_of(job) == after
    undo(job)
    assert tree_of(job) == before


def test_undo_leaves_and_names_what_somebody_has_touched(job: Path, heap: Path) -> None:
    gather(job, [heap], nowhere)
    photos = listed(job).photos
    first, second, third = (photo.file for photo in photos[:3])
    # One entry gets a caption, one copy other bytes, one is named in the record.
    text = (job / "photos.yaml").read_text()
    edited = text.replace(f"file: {first}\n", f"file: {first}\n    caption: Look here\n")
    (job / "photos.yaml").write_text(edited)
    put(job / second, b"other bytes")
    with (job / "job.yaml").open("a") as record:
        record.write(f"papers:\n  - file: {third}\n")
    undone = undo(job)
    assert {left.name for left in undone.left} == {first, second, third}
    assert [photo.caption for photo in listed(job).photos] == ["Look here"]
    assert len(undone.removed) == 5
    assert all((job / file).is_file() for file in (first, second, third))


def test_undo_once_and_only_once(job: Path, heap: Path) -> None:
    gather(job, [heap], nowhere)
    undo(job)
    with pytest.raises(CannotWrite, match="no gather to undo"):
        undo(job)


@pytest.mark.parametrize("step", STEPS)
def test_an_interrupt_at_any_step_leaves_the_job_before_or_after(
    job: Path, heap: Path, step: str
) -> None:
    before = tree_of(job)

    def at(reached: str) -> None:
        if reached == step:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        gather(job, [heap], at)
    is_true = step in ("photos.yaml renamed", "journal closed")
    assert (tree_of(job) != before) is is_true
    assert not (job / ".dossier" / "gather" / "journal.json").exists()
    assert not (job / ".dossier" / "gather" / "stage").exists()
    assert len(listed(job).photos) == (6 if is_true else 0)


def test_a_source_that_changed_meanwhile_is_passed_by(job: Path, heap: Path) -> None:
    def at(reached: str) -> None:
        if reached == "journal begun":
            (heap / "deck" / "back.jpg").write_bytes(b"gone")
            (heap / "IMG_7.jpg").unlink()

    filed = gather(job, [heap], at)
    assert {one.name for one in filed.refused} == {"phone/deck/back.jpg", "phone/IMG_7.jpg"}
    assert len(filed.copies) == 6


def test_a_list_edited_while_copies_are_made_is_not_written_over(job: Path, heap: Path) -> None:
    theirs = "photos:\n  - file: photos/field/mine.jpg\n"

    def at(reached: str) -> None:
        if reached == "all copies in place":
            (job / "photos.yaml").write_text(theirs)

    with pytest.raises(CannotWrite, match="was changed while"):
        gather(job, [heap], at)
    assert (job / "photos.yaml").read_text() == theirs
    assert [p for p in (job / "photos").rglob("*") if p.is_file()] == []


def test_a_folder_that_is_a_link_is_not_filed_into(job: Path, heap: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (job / "photos").mkdir(exist_ok=True)
    (job / "photos" / "deck").symlink_to(elsewhere)
    with pytest.raises(CannotWrite, match="photos/deck in the job folder is a link"):
        gather(job, [heap], nowhere)
    assert list(elsewhere.iterdir()) == []


# --- kills --------------------------------------------------------------------------------------


def is_whole(job: Path) -> bool:
    """Return whether every photo that the list names is there, and named by its content."""
    files = [job / photo.file for photo in listed(job).photos]
    return all(
        path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest()[:8] in path.name
        for path in files
    )


@pytest.fixture
def jobs(job: Path, heap: Path, tmp_path: Path) -> tuple[dict[str, bytes], dict[str, bytes], Path]:
    """Return the job's tree before and after a gather, and a folder with the gathered job."""
    before = tree_of(job)
    done = tmp_path / "office" / "done"
    shutil.copytree(job, done)
    gather(done, [heap], nowhere)
    return before, tree_of(done), done


def test_a_kill_at_every_step_leaves_before_or_after_and_the_next_run_finishes(
    job: Path,
    heap: Path,
    jobs: tuple[dict[str, bytes], dict[str, bytes], Path],
    tmp_path: Path,
) -> None:
    before, after, _ = jobs
    cases = [(step, nth) for step in STEPS for nth in ((1, 5) if "one copy" in step else (1,))]
    folders = [tmp_path / "office" / f"job {number}" for number in range(len(cases))]
    asked: list[dict[str, object]] = []
    for folder, (step, nth) in zip(folders, cases, strict=True):
        shutil.copytree(job, folder)
        asked.append(
            {"what": "gather", "job": str(folder), "sources": [str(heap)], "step": step, "nth": nth}
        )
    assert killed(asked, tmp_path) == ["killed"] * len(cases)
    for folder, (step, _) in zip(folders, cases, strict=True):
        assert is_whole(folder), step
        heal(folder)
        is_true = step in ("photos.yaml renamed", "journal closed")
        assert tree_of(folder) == (after if is_true else before), step
        gather(folder, [heap], nowhere)
        assert tree_of(folder) == after, step
        undo(folder)
        assert tree_of(folder) == before, step


def test_a_kill_at_random_moments_loses_nothing(
    job: Path,
    heap: Path,
    jobs: tuple[dict[str, bytes], dict[str, bytes], Path],
    tmp_path: Path,
) -> None:
    before, after, _ = jobs
    rng = random.Random()
    folders = [tmp_path / "office" / f"job {number}" for number in range(11)]
    asked: list[dict[str, object]] = [
        {"what": "gather", "job": str(f), "sources": [str(heap)]} for f in folders
    ]
    for folder in folders:
        shutil.copytree(job, folder)
    # The first runs to its end and shows how long that takes; the others are killed on the way.
    for case in asked[1:]:
        case["after_share"] = rng.random()
    assert killed(asked, tmp_path)[0] == "ended with 0"
    for folder, case in zip(folders, asked, strict=True):
        assert is_whole(folder), case
        heal(folder)
        assert tree_of(folder) in (before, after), case
        gather(folder, [heap], nowhere)
        assert tree_of(folder) == after, case


def test_a_kill_while_undoing_is_finished_by_the_next_run(
    jobs: tuple[dict[str, bytes], dict[str, bytes], Path], tmp_path: Path
) -> None:
    before, _, done = jobs
    folders = [tmp_path / "office" / f"job {number}" for number in range(len(UNDO_STEPS))]
    asked: list[dict[str, object]] = []
    for folder, step in zip(folders, UNDO_STEPS, strict=True):
        shutil.copytree(done, folder)
        asked.append({"what": "undo", "job": str(folder), "step": step})
    assert killed(asked, tmp_path) == ["killed"] * len(UNDO_STEPS)
    for folder, step in zip(folders, UNDO_STEPS, strict=True):
        assert is_whole(folder), step
        heal(folder)
        assert tree_of(folder) == before, step


def test_papers_alone_are_taken_back_by_the_next_run(job: Path, tmp_path: Path) -> None:
    """No photo list changes there, so that nothing but the journal tells whether the run had ended."""
    source = put(tmp_path / "permit.pdf", pdf_with_text("Permit"))
    before = tree_of(job)
    case: dict[str, object] = {"what": "gather", "job": str(job), "sources": [str(source)]}
    assert killed([{**case, "step": "all copies in place"}], tmp_path) == ["killed"]
    heal(job)
    assert tree_of(job) == before
    gather(job, [source], nowhere)
    assert len(list((job / "papers").iterdir())) == 1


def test_a_journal_that_leads_out_of_the_job_is_refused(job: Path, tmp_path: Path) -> None:
    victim = put(tmp_path / "office" / "victim.jpg", b"theirs")
    digest = hashlib.sha256(b"theirs").hexdigest()
    journal = {
        "format": 1,
        "state": "placing",
        "copies": [["photos/../../victim.jpg", digest, ""]],
        "folders": [],
        "before": None,
        "after": None,
    }
    put(job / ".dossier" / "gather" / "journal.json", json.dumps(journal).encode())
    with pytest.raises(CannotWrite, match="is not what gather wrote there"):
        heal(job)
    assert victim.read_bytes() == b"theirs"
