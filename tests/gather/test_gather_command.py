"""`dossier gather` as the office runs it: a heap of two hundred files proposed, filed, checked and taken back."""

import contextlib
import io
import json
import os
import pty
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pillow_heif
import pytest

from dossier.cli import main
from dossier.commands.show import progress_line, progress_on
from dossier.errors import ExitCode
from tests.conftest import judged
from tests.gather.conftest import drawn, photo_bytes, put, tree_of
from tests.known_good import GOOD_JOB

DAY = ("--today", "2026-10-20")


def test_a_heap_of_200_files_is_proposed_filed_checked_and_taken_back(
    job: Path, heap_of_200: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, source = tree_of(job), tree_of(heap_of_200)
    assert len(source) + 29 == 200
    assert main(["gather", str(job), str(heap_of_200), *DAY]) == 0
    told = capsys.readouterr().out
    assert tree_of(job) == before, "a proposal files nothing"
    assert told.count("nearly the same picture as heap/deck/front_0") == 10
    assert "180 photo" not in told
    assert "170 photo, 4 paper, 20 leave out" in told
    assert "the same bytes as heap/tear-off/front_00.JPG" in told
    assert "6 passed by" in told
    assert "passed by: heap/mail/empty.jpg is empty" in told

    arguments = ["gather", str(job), str(heap_of_200), *DAY, "--yes", "--from", "crew phone 2"]
    assert main(arguments) == 0
    capsys.readouterr()
    assert tree_of(heap_of_200) == source
    files = set(tree_of(job)) - set(before)
    assert {file.split("/")[1] for file in files if file.startswith("photos/")} == {
        *("tear-off", "deck", "ice-barrier", "field", "hip-and-ridge", "starter", "unsorted"),
    }
    assert sum(file.startswith("papers/") for file in files) == 4
    originals = {data for name, data in source.items() if not name.endswith(".zip")}
    filed = [data for file, data in tree_of(job).items() if file in files]
    assert len(filed) == len(set(filed)), "no picture is filed twice"
    assert sum(data in originals for data in filed) == len(filed) - 30

    assert main(["check", str(job), *DAY, "--json"]) == 1
    items = json.loads(capsys.readouterr().out)["items"]
    assert [item for item in items if item["rule"].startswith("SHP")] == []
    assert not [i for i in items if i["rule"] in ("PHO-003", "PHO-004")], "they open, on their days"
    assert any("photos/unsorted/" in item["says"] for item in items)

    assert main(["gather", str(job), "--undo"]) == 0
    assert tree_of(job) == before


def test_the_files_of_a_finished_job_gathered_anew_leave_it_finished(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Phases, slopes, repairs before and after, tickets by number: nothing is lost by the new names."""
    sources = [str(GOOD_JOB / "photos"), str(GOOD_JOB / "papers")]
    assert main(["gather", str(job), *sources, *DAY, "--yes"]) == 0
    assert "27 photo, 13 paper, 0 leave out; 0 without a phase; 0 passed by" in (
        capsys.readouterr().out
    )
    assert main(["check", str(job), *DAY]) == 0
    assert "registration ready" in capsys.readouterr().out


def test_an_edited_proposal_is_taken_without_naming_the_sources_again(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    phone = tmp_path / "phone"
    put(phone / "IMG_1.jpg", photo_bytes(1, datetime(2026, 9, 14, 9)))
    put(phone / "IMG_2.jpg", photo_bytes(2))
    choices = tmp_path / "choices.yaml"
    assert main(["gather", str(job), str(phone), "--proposal", str(choices), *DAY]) == 0
    text = choices.read_text()
    edited = text.replace("    phase:\n    slope:\n", "    phase: deck\n    slope: back\n", 1)
    choices.write_text(edited)
    assert main(["gather", str(job), "--take", str(choices), *DAY]) == 0
    assert [path.parent.name for path in sorted((job / "photos").rglob("*.jpg"))] == [
        "deck",
        "unsorted",
    ]
    capsys.readouterr()
    # Somebody's edits are never written over.
    assert main(["gather", str(job), str(phone), "--proposal", str(choices), *DAY]) == 4
    assert choices.read_text() == edited


def test_a_second_proposal_keeps_the_first_beside_it(job: Path, tmp_path: Path) -> None:
    phone = tmp_path / "phone"
    put(phone / "IMG_1.jpg", photo_bytes(1))
    main(["gather", str(job), str(phone), *DAY])
    path = job / ".dossier" / "gather-proposal.yaml"
    path.write_text(path.read_text() + "# mine\n")
    main(["gather", str(job), str(phone), *DAY])
    assert path.with_name("gather-proposal-before.yaml").read_text().endswith("# mine\n")


def test_the_contact_sheet_shows_every_picture_once(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    phone = tmp_path / "phone"
    for number in range(7):
        put(phone / "deck" / f"front {number}.jpg", photo_bytes(number, size_px=(400, 300)))
    put(phone / "tall.png", photo_bytes(8, size_px=(90, 400), kind="PNG"))
    put(phone / "deck" / "cut.jpg", photo_bytes(9)[:600])
    put(phone / "deck" / "again.jpg", (phone / "deck" / "front 1.jpg").read_bytes())
    sheet = tmp_path / "sheet.pdf"
    assert main(["gather", str(job), str(phone), "--sheet", str(sheet), *DAY]) == 0
    assert "Contact sheet" in capsys.readouterr().err
    text = judged("pdftotext", "-layout", sheet, "-")
    for said in ("Deck, front", "Unknown phase", "Proposed to leave out", "not a picture to show"):
        assert said in text
    assert "Folder “deck”" in text
    assert "phone/tall.png" in text
    images = judged("pdfimages", "-list", sheet).splitlines()[2:]
    assert len(images) == 9, "all but the one that is cut short"
    assert main(["gather", str(job), str(phone), "--sheet", str(sheet), *DAY]) == 4


def test_the_contact_sheet_takes_the_offices_own_templates(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    photo = put(tmp_path / "deck front.jpg", photo_bytes(1))
    own = job.parent / "templates" / "contact-sheet.html"
    own.parent.mkdir()
    command = ["gather", str(job), str(photo), "--sheet", str(tmp_path / "sheet.pdf"), *DAY]
    own.write_text("<p>\n{{ doc.titel }}</p>")
    assert main(command) == ExitCode.UNREADABLE_INPUT
    assert "templates/contact-sheet.html, line 2" in capsys.readouterr().err
    assert not (tmp_path / "sheet.pdf").exists()
    own.write_text(
        '{% extends "shipped/contact-sheet.html" %}{% block end %}<p>Look twice.</p>{% endblock %}'
    )
    assert main(command) == 0
    assert "Look twice." in judged("pdftotext", tmp_path / "sheet.pdf", "-")


def test_a_gather_without_a_sheet_needs_no_layout_library(job: Path, tmp_path: Path) -> None:
    photo = put(tmp_path / "deck front.jpg", photo_bytes(1))
    code = (
        "import sys; sys.modules['weasyprint'] = None; from dossier.cli import main; "
        f"sys.exit(main(['gather', {str(job)!r}, {str(photo)!r}, '--yes']))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()


@pytest.mark.parametrize(
    "more",
    [
        [],
        ["SOURCE", "--yes", "--undo"],
        ["SOURCE", "--undo"],
        ["SOURCE", "--yes", "--take", "x.yaml"],
        ["SOURCE", "--yes", "--proposal", "x.yaml"],
        ["SOURCE", "SOURCE", "--supplier", "fjordgate"],
    ],
)
def test_arguments_that_contradict_each_other_exit_with_2(job: Path, more: list[str]) -> None:
    assert main(["gather", str(job), *(word.replace("SOURCE", str(job)) for word in more)]) == 2


def test_another_run_that_has_the_job_is_waited_for(job: Path, tmp_path: Path) -> None:
    from dossier.disk.outputs import job_lock

    photo = put(tmp_path / "a.jpg", photo_bytes(1))
    with job_lock(job / ".dossier"):
        assert main(["gather", str(job), str(photo), "--yes"]) == 6


def test_a_record_that_cannot_be_read_ends_the_run(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (job / "job.yaml").write_text("job: [")
    assert main(["gather", str(job), str(tmp_path), "--yes"]) == 3
    assert "does not parse as YAML" in capsys.readouterr().err


def test_an_interrupt_says_that_nothing_is_half_written(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = tree_of(job)
    photo = put(tmp_path / "deck front.jpg", photo_bytes(1))

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("dossier.gather.filing._place", stopped)
    assert main(["gather", str(job), str(photo), "--yes", *DAY]) == 130
    assert "nothing is half-written" in capsys.readouterr().err
    assert tree_of(job) == before


# --- progress -----------------------------------------------------------------------------------


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """Return True."""
        return True


def test_a_bar_has_count_rate_and_time_left() -> None:
    line = progress_line("copying phone/IMG_1.jpg", 50, 200, 50, 5.0, with_bar=True)
    assert line == "[#####---------------] 50 of 200, 10 a second, 15 s left  copying phone/IMG_1.…"
    assert len(line) == 79


@pytest.mark.parametrize(
    ("done", "of", "worked", "seconds", "line"),
    [
        (0, 10, 0, 0.0, "0 of 10"),
        (1, 10, 1, 2.0, "1 of 10, 0.5 a second, 18 s left"),
        (10, 10, 10, 2.0, "10 of 10, 5.0 a second"),
        (10, 5000, 10, 10.0, "10 of 5000, 1.0 a second, 1 h 23 min left"),
        (10, 190, 10, 10.0, "10 of 190, 1.0 a second, 3 min 0 s left"),
        (0, 0, 0, 0.0, "0 of 0"),
    ],
)
def test_a_plain_line_says_the_same(
    done: int, of: int, worked: int, seconds: float, line: str
) -> None:
    assert progress_line("x", done, of, worked, seconds, with_bar=False) == line


def test_a_terminal_sees_a_bar_after_a_second_and_a_pipe_a_line_after_ten() -> None:
    now = 0.0
    terminal, pipe = Terminal(), io.StringIO()
    shows = [progress_on(stream, lambda: now) for stream in (terminal, pipe)]
    for done in range(1, 31):
        now = done * 0.5
        for show in shows:
            show("a\x1b[2Jb", done, 30)
    assert terminal.getvalue().count("\r") > 20
    assert terminal.getvalue().endswith("\n")
    assert "\x1b" not in terminal.getvalue()
    lines = pipe.getvalue().splitlines()
    assert lines == ["21 of 30, 2.0 a second, 4 s left"]


def test_quick_work_shows_nothing() -> None:
    terminal = Terminal()
    show = progress_on(terminal, lambda: 0.0)
    for done in range(1, 11):
        show("x", done, 10)
    assert terminal.getvalue() == ""


def test_work_that_nobody_can_count_is_named_on_one_line_of_a_terminal_alone() -> None:
    terminal, pipe = Terminal(), io.StringIO()
    for stream in (terminal, pipe):
        show = progress_on(stream, lambda: 0.0)
        for what in ("laying out the packet", "laying out the punch list \x1b[2J", ""):
            show(what, 0, 0)
    assert pipe.getvalue() == ""
    first, second, last = terminal.getvalue().split("\r")[1:4]
    assert first.rstrip() == "laying out the packet …"
    assert second.rstrip() == "laying out the punch list ?[2J …"
    assert last.strip() == ""
    assert {len(first), len(second), len(last)} == {79}
    assert "\n" not in terminal.getvalue()
    # Quick work that is counted in between adds no line of its own.
    show = progress_on(terminal, lambda: 0.0)
    show("laying out the packet", 0, 0)
    for done in range(1, 11):
        show("photo", done, 10)
    assert "\n" not in terminal.getvalue()


def test_a_real_terminal_is_given_a_bar(job: Path, tmp_path: Path) -> None:
    """The program itself under a terminal made by the system; its clock leaps, so that work takes long."""
    photo = put(tmp_path / "deck front.jpg", photo_bytes(1))
    code = (
        "import itertools, time; ticks = itertools.count(0, 2); time.monotonic = lambda: next(ticks); "
        f"from dossier.cli import main; main(['gather', {str(job)!r}, {str(photo)!r}, '--yes'])"
    )
    ours, theirs = pty.openpty()
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=theirs, text=True, check=False)
    os.close(theirs)
    seen = b""
    # A terminal whose other end is closed ends with an error on Linux, with nothing on macOS.
    with contextlib.suppress(OSError):
        while part := os.read(ours, 4096):
            seen += part
    os.close(ours)
    assert "Filed 1 photo" in done.stdout
    assert "[####################] 1 of 1" in seen.decode()


def test_a_heic_photo_is_filed_as_it_is(job: Path, tmp_path: Path) -> None:
    target = io.BytesIO()
    pillow_heif.from_pillow(drawn(3, (320, 240))).save(target)
    photo = put(tmp_path / "field front.heic", target.getvalue())
    assert main(["gather", str(job), str(photo), "--yes", *DAY]) == 0
    [filed] = (job / "photos" / "field").iterdir()
    assert filed.suffix == ".heic"
    assert filed.read_bytes() == target.getvalue()


def _without_slopes_typed(job: Path) -> str:
    """Take the slopes out of the record as `start` leaves it; returns the lines taken out."""
    text = (job / "job.yaml").read_text()
    start, end = text.index("slopes:\n") + len("slopes:\n"), text.index("decks:")
    (job / "job.yaml").write_text(text[:start] + text[end:])
    return text


def test_a_heap_is_not_filed_before_the_slopes_that_its_names_may_say(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    phone = tmp_path / "phone"
    put(phone / "deck" / "front.jpg", photo_bytes(1))
    put(phone / "deck" / "back" / "IMG_20260914.jpg", photo_bytes(2))
    whole = _without_slopes_typed(job)
    before = tree_of(job)
    assert main(["gather", str(job), str(phone), *DAY]) == 0
    says = "names in this heap could be slopes: “back” and “front”. Write the slopes into job.yaml"
    assert says in capsys.readouterr().out
    assert main(["gather", str(job), str(phone), *DAY, "--yes"]) == 2
    assert "--without-slopes" in capsys.readouterr().err
    assert tree_of(job) == before

    assert main(["gather", str(job), str(phone), *DAY, "--yes", "--without-slopes"]) == 0
    assert "or no photo has one" in capsys.readouterr().out
    # The way back: typed at last, a second gather names what lies there without its slope.
    (job / "job.yaml").write_text(whole)
    assert main(["gather", str(job), str(phone), *DAY, "--yes"]) == 0
    told = capsys.readouterr().out
    assert "Filed before without a slope that the name says: 2 photos." in told
    assert told.count("  slope: front\n") == told.count("  slope: back\n") == 1
    assert main(["gather", str(job), "--undo"]) == 0
    assert main(["gather", str(job), str(phone), *DAY, "--yes"]) == 0
    assert {path.name.split("-")[0] for path in (job / "photos" / "deck").iterdir()} == {
        "front",
        "back",
    }


def test_a_heap_of_camera_names_is_filed_before_the_slopes(job: Path, tmp_path: Path) -> None:
    phone = tmp_path / "phone"
    put(phone / "deck" / "IMG_0001.jpg", photo_bytes(1))
    _without_slopes_typed(job)
    assert main(["gather", str(job), str(phone), *DAY, "--yes"]) == 0
