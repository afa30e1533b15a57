"""`dossier gather --ask` as somebody in the office types it: answers, a stop, the way on, words kept."""

import io
import json
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.gather.choices import read_choices
from dossier.record.files import placed_paper
from dossier.words import PaperKind
from tests.conftest import judged
from tests.gather.conftest import photo_bytes, put, tree_of

DAY = ("--today", "2026-10-20")

STRETCHES = (
    (14, 7, 2, 3),
    (14, 8, 40, 2),
    (14, 10, 5, 6),
    (14, 11, 30, 3),
    (15, 9, 0, 3),
    (16, 10, 0, 4),
)
"""Day, hour, minute and photos of each; within one 14 seconds, and 80 more before the fourth."""


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    """Return a folder of 21 photos under a phone's own names, in six stretches."""
    number = 0
    for day, hour, minute, count in STRETCHES:
        for shot in range(count):
            number += 1
            at = datetime(2026, 9, day, hour, minute)
            at += timedelta(seconds=14 * shot + (80 if shot >= 3 else 0))
            put(tmp_path / "phone" / f"IMG_{2040 + number}.jpg", photo_bytes(number, at))
    return tmp_path / "phone"


ANSWERS = (
    "before",
    "tear-off, front",
    "deck, front / back",
    "ice & water, back",
    "field, front",
    "hip and ridge",
)


def ask(
    monkeypatch: pytest.MonkeyPatch, job: Path, phone: Path, lines: Sequence[str], *more: str
) -> int:
    """Run the command with these lines typed."""
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    return main(["gather", str(job), str(phone), "--ask", *DAY, *more])


def places(job: Path) -> dict[str, int]:
    """Return how many photos lie in each folder of the job."""
    files = [file.split("/")[1] for file in tree_of(job) if file.startswith("photos/")]
    return {folder: files.count(folder) for folder in sorted(set(files))}


FILED = {"before": 3, "tear-off": 2, "deck": 6, "ice-barrier": 3, "field": 3, "hip-and-ridge": 4}


def test_six_answers_place_21_photos(
    job: Path, phone: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ask(monkeypatch, job, phone, [*ANSWERS, "yes"]) == 0
    told = capsys.readouterr().out
    assert "21 photos in 6 runs: 6 to ask about" in told
    assert "can show 8 starter, 9 field" in told
    assert "longest pause: 94 s before photo 9" in told
    assert places(job) == FILED
    listed = (job / "photos.yaml").read_text()
    assert listed.count("slope: back") == 6
    assert listed.count("slope: front") == 8


def test_wrappers_are_papers_of_their_kind_and_show_no_phase(
    job: Path, phone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stop in between keeps the kind; parts of a run may be wrappers too."""
    assert (
        ask(monkeypatch, job, phone, ["before", "wrapper", "deck, front / wrappers", "stop"]) == 0
    )
    assert ask(monkeypatch, job, phone, [*ANSWERS[3:], "yes"]) == 0
    assert places(job) == {**{k: n for k, n in FILED.items() if k != "tear-off"}, "deck": 3}
    wrappers = [file for file in tree_of(job) if file.startswith("papers/wrapper-")]
    assert len(wrappers) == 5
    assert placed_paper(wrappers[0]).kind is PaperKind.WRAPPER
    assert "wrapper" not in (job / "photos.yaml").read_text()


def test_nothing_is_filed_before_somebody_agrees_and_a_stop_goes_on_where_it_was(
    job: Path, phone: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = tree_of(job)
    assert ask(monkeypatch, job, phone, [*ANSWERS[:3], "stop"]) == 0
    assert tree_of(job) == before
    assert "goes on from there" in capsys.readouterr().out
    # The end of the input is a stop too, and so is a no at the end.
    assert ask(monkeypatch, job, phone, ANSWERS[3:4]) == 0
    assert ask(monkeypatch, job, phone, [*ANSWERS[4:], "no"]) == 0
    assert tree_of(job) == before
    told = capsys.readouterr().out
    assert "7 runs: 3 to ask about" in told
    assert ask(monkeypatch, job, phone, ["yes"]) == 0
    assert places(job) == FILED


def test_a_run_is_asked_about_again_and_an_answer_is_taken_back(
    job: Path, phone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = ["1", "deck, front", "undo", *ANSWERS[1:], "2", "out", "yes"]
    assert ask(monkeypatch, job, phone, lines) == 0
    assert places(job) == {name: count for name, count in FILED.items() if name != "tear-off"}


def test_what_was_said_is_filed_by_take_as_well(
    job: Path, phone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert ask(monkeypatch, job, phone, [*ANSWERS, "no"]) == 0
    path = job / ".dossier" / "gather-proposal.yaml"
    choices = read_choices(path)
    assert [len(run.files) for run in choices.runs] == [3, 2, 3, 3, 3, 3, 4]
    # One line changes a whole run; a line at a photo changes that photo alone.
    text = path.read_text().replace("phase: field\n", "phase: starter\n")
    name = "phone/IMG_2059.jpg"
    at = text.index(f"file: {name}")
    path.write_text(text[:at] + f"phase: flashing\n        {text[at:]}")
    assert main(["gather", str(job), "--take", str(path), *DAY]) == 0
    moved = {**FILED, "starter": 3, "hip-and-ridge": 3, "flashing": 1}
    del moved["field"]
    assert places(job) == moved


def test_photos_that_came_meanwhile_are_asked_about_too(
    job: Path, phone: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ask(monkeypatch, job, phone, [*ANSWERS[:5], "stop"]) == 0
    put(phone / "IMG_3001.jpg", photo_bytes(99, datetime(2026, 9, 15, 14)))
    capsys.readouterr()
    assert ask(monkeypatch, job, phone, ["field, back", "hip and ridge", "yes"]) == 0
    assert "8 runs: 2 to ask about" in capsys.readouterr().out
    assert places(job) == {**FILED, "field": 4}


def test_the_sheet_shows_the_runs(
    job: Path, phone: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet = tmp_path / "sheet.pdf"
    assert ask(monkeypatch, job, phone, ["stop"], "--sheet", str(sheet)) == 0
    text = judged("pdftotext", "-layout", sheet, "-")
    assert "Run 3: 2026-09-14 10:05 to 10:07, 6 photos of phone 1" in text


def test_slopes_come_first(
    job: Path, phone: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    record = (job / "job.yaml").read_text()
    slopes = record[record.index("slopes:\n") : record.index("decks:")]
    (job / "job.yaml").write_text(record.replace(slopes, ""))
    put(phone / "front" / "IMG_9.jpg", photo_bytes(50, datetime(2026, 9, 14, 9)))
    assert ask(monkeypatch, job, phone, ["stop"]) == 2
    assert "could be slopes" in capsys.readouterr().err


@pytest.mark.parametrize("more", [["--take", "x.yaml"], ["--supplier", "fjordgate"]])
def test_ask_goes_with_sources_alone(job: Path, phone: Path, more: list[str]) -> None:
    assert main(["gather", str(job), str(phone), "--ask", *more]) == 2


# --- an office's own words ----------------------------------------------------------------------


@pytest.fixture
def tin(tmp_path: Path) -> Path:
    """Return a folder with two folders called as the office calls things, and photos that nothing names."""
    for number, (folder, minute) in enumerate(
        [("tin", 0), ("tin", 1), ("tin", 2), ("street", 40), ("street", 41), ("", 80)]
    ):
        at = datetime(2026, 9, 14, 9) + timedelta(minutes=minute)
        put(tmp_path / "mail" / folder / f"IMG_{3000 + number}.jpg", photo_bytes(200 + number, at))
    return tmp_path / "mail"


def test_a_word_is_kept_when_somebody_agrees_and_then_proposes(
    job: Path, tin: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = ["drip edge", "split 3", "deck, front", "ice, front", "underlayment", "yes"]
    assert ask(monkeypatch, job, tin, [*lines, "yes", "yes"]) == 0
    told = capsys.readouterr().out
    assert "“tin” stood at 3 photos of drip edge: keep it as a word for drip edge?" in told
    assert "“street” stood at 2 photos of front: keep it as a word for front?" in told
    words = (job.parent / "words.yaml").read_text()
    assert "tin" in words
    assert "drip edge" in words
    assert main(["gather", str(job), "--undo"]) == 0
    assert main(["gather", str(job), str(tin), *DAY]) == 0
    assert capsys.readouterr().out.count("drip edge") >= 3


def test_nothing_is_learnt_where_nobody_agrees(
    job: Path, tin: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = ["drip edge", "split 3", "deck, front", "ice, front", "underlayment", "yes", "no", ""]
    assert ask(monkeypatch, job, tin, lines) == 0
    assert places(job)["drip-edge"] == 3
    assert not (job.parent / "words.yaml").exists()


def test_a_kept_word_is_forgotten_when_it_is_contradicted(
    job: Path, tin: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    words = job.parent / "words.yaml"
    words.write_text("words:\n  - tin, phase flashing   # as the crew says\n  - caps, slope back\n")
    lines = ["drip edge", "deck", "underlayment", "yes", "no", "yes"]
    assert ask(monkeypatch, job, tin, lines) == 0
    told = capsys.readouterr().out
    assert "“tin” is kept as flashing, and 3 photos with it went to drip edge: change it?" in told
    assert "flashing" not in words.read_text()
    assert "caps, slope back" in words.read_text()


# --- another house, and data for other fronts ---------------------------------------------------


def test_photos_of_another_house_are_a_run_that_is_told_so(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The house of the record stands at 47.7 degrees; a minute of latitude is more than a mile (WGS 84)."""
    for shot in range(6):
        there = (47, 43, 0) if shot in (2, 3) else (47, 42, 0)
        at = datetime(2026, 9, 14, 9, 0, 9 * shot)
        put(tmp_path / "phone" / f"IMG_{shot}000.jpg", photo_bytes(shot, at, place=there))
    assert ask(monkeypatch, job, tmp_path / "phone", ["deck, front", "out", "yes"]) == 0
    told = capsys.readouterr().out
    assert "2 runs" in told
    assert told.count("another house?") == 1
    assert places(job) == {"deck": 4}


def test_the_runs_are_printed_as_data(
    job: Path, phone: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = tree_of(job)
    assert main(["gather", str(job), str(phone), "--json", *DAY]) == 0
    data = json.loads(capsys.readouterr().out)
    assert tree_of(job) == before
    assert [len(run["photos"]) for run in data["runs"]] == [3, 2, 6, 3, 3, 4]
    first = data["runs"][0]
    assert first["proposed"]["phase"] is None
    assert first["could"][0] == "before"
    assert first["photos"][0]["file"] == "phone/IMG_2041.jpg"
    assert {"phase": "deck", "slope": "back"} in data["wanted"]
    assert data["phones"][0]["name"] == "phone 1"


def test_what_was_said_of_one_heap_outlives_a_look_at_another(
    job: Path, phone: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert ask(monkeypatch, job, phone, [*ANSWERS[:4], "stop"]) == 0
    put(tmp_path / "other" / "IMG_9001.jpg", photo_bytes(77, datetime(2026, 9, 14, 9)))
    assert main(["gather", str(job), str(tmp_path / "other"), *DAY]) == 0
    assert ask(monkeypatch, job, phone, [*ANSWERS[4:], "yes"]) == 0
    assert places(job) == FILED
