"""Papers that leave with a packet: the very bytes that were judged, or a copy of what their pages show."""

import io
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter

from dossier import pipeline
from dossier.bind.packet import PAPER_KINDS
from dossier.cli import main
from dossier.compose.packet.dividers import pages_of
from dossier.errors import UnreadableInput
from dossier.evidence import measure
from dossier.evidence.facts import Facts
from dossier.press.papers import papers_to_send
from dossier.record.files import Paper
from dossier.words import PaperKind
from tests.golden_text import page_texts
from tests.known_good import GOOD_JOB, TODAY, known_good

DAY = ["--today", TODAY.isoformat()]
PAPER = "papers/completion.pdf"

GOOD = "2026-041-plover-lane"


def _another(path: Path) -> None:
    writer = PdfWriter()
    writer.add_blank_page(300, 300)
    path.unlink()
    writer.write(path)


def _gone(path: Path) -> None:
    path.unlink()


def _a_link(path: Path) -> None:
    kept = path.with_name("kept.pdf.away")
    path.rename(kept)
    path.symlink_to(kept)


def _a_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def _a_picture(path: Path) -> None:
    shutil.copy(next((GOOD_JOB / "photos").rglob("*.jpg")), path)


TURNED = [_another, _gone, _a_link, _a_folder, _a_picture]


@pytest.fixture
def job(job_of: Callable[[str], Path]) -> Path:
    """Return a whole copy of the known-good job in an office of its own."""
    return job_of(GOOD)


def _sent(job: Path, facts: Facts) -> dict[str, bytes]:
    made_at = datetime(2026, 10, 20, 12, tzinfo=UTC)
    case = known_good().case
    return {one.name: one.data for one in papers_to_send(case, facts, job.joinpath, made_at)}


def _facts(job: Path) -> Facts:
    case = known_good().case
    return measure(job, [], [paper.file for paper in case.papers])


def test_a_ticket_that_came_as_a_table_is_sent_as_it_lies_and_has_no_pages(job: Path) -> None:
    file = "papers/ticket-55164.csv"
    table = b"Ticket No,Item,Qty\n55164,FG-7716,2\n"
    (job / file).write_bytes(table)
    paper = Paper(file=file, kind=PaperKind.TICKET)
    known = known_good().case
    case = replace(known, papers=(*known.papers, paper))
    facts = measure(job, [], [one.file for one in case.papers])
    sent = papers_to_send(case, facts, job.joinpath, datetime(2026, 10, 20, 12, tzinfo=UTC))
    [(one, attached)] = [(one, one.attached) for one in sent if one.paper.file == file]
    assert (one.data, one.kind, attached.mime) == (table, "text", "text/csv")
    assert one.kind not in PAPER_KINDS
    assert pages_of(paper, facts) == "a table"


def test_what_is_sent_is_what_was_judged(job: Path) -> None:
    assert _sent(job, _facts(job))["completion.pdf"] == (job / PAPER).read_bytes()


@pytest.mark.parametrize("turn", TURNED)
def test_a_paper_turned_into_something_else_since_is_a_sentence(
    job: Path, turn: Callable[[Path], None]
) -> None:
    facts = _facts(job)
    turn(job / PAPER)
    with pytest.raises(UnreadableInput, match=r"completion\.pdf was changed or taken away while"):
        _sent(job, facts)


@pytest.mark.parametrize("turn", [_another, _gone])
def test_a_build_meanwhile_says_so_and_leaves_what_stood_there(
    job: Path,
    turn: Callable[[Path], None],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    judged = pipeline.punch_list

    def meanwhile(*given: object) -> object:
        turn(job / PAPER)
        return judged(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(pipeline, "punch_list", meanwhile)
    assert main(["build", str(job), *DAY]) == 3
    err = capsys.readouterr().err
    assert f"{PAPER} was changed or taken away while the documents were being made." in err
    assert not (job / "out").exists()


def test_a_paper_that_opens_without_its_password_travels_as_a_copy_without_one(job: Path) -> None:
    writer = PdfWriter(clone_from=job / PAPER)
    shown = page_texts(job / PAPER)
    writer.encrypt(user_password="", owner_password="office", algorithm="AES-256")
    writer.write(job / PAPER)
    assert main(["build", str(job), *DAY]) == 0
    body = job / "out" / "registration.pdf"
    says = " ".join(" ".join(page_texts(body)).split())
    assert "completion.pdf, attached as a cleaned copy: the original holds encryption" in says
    sent = PdfReader(body).attachments["completion-cleaned.pdf"][0]
    copy = PdfReader(io.BytesIO(sent))
    assert not copy.is_encrypted
    (job / "copy.pdf").write_bytes(sent)
    assert page_texts(job / "copy.pdf") == shown
