"""`dossier read`: what it prints, what it writes by number, and what it asks in a terminal."""

import io
import json
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.commands.read import ended, numbers_in
from dossier.errors import WrongCommand
from tests.deeds.test_reading_papers import PERMIT, TICKET, job, put, record
from tests.drawn_papers import drawn

__all__ = ["job"]
DAY = ("--today", "2026-10-20")


def read(job: Path, *more: str) -> int:
    """Return the exit code of the command."""
    return main(["read", str(job), *more, *DAY])


def test_it_shows_each_fact_beside_its_line_and_what_would_change(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    put(job, "ticket-55201.pdf", drawn(TICKET))
    put(job, "permit-1.pdf", drawn([*PERMIT, (40, 140, "Permit No. R-7")]))
    put(job, "letter-1.pdf", drawn([(40, 40, "A letter about nothing at all.")]))
    before = (job / "job.yaml").read_bytes()
    assert read(job) == 1
    out = capsys.readouterr().out
    assert (job / "job.yaml").read_bytes() == before
    assert "    1 ? permit number: R-2026-1187\n" in out
    assert "page 1 line 2: “Permit No. R-2026-1187”\n" in out
    assert "In doubt: line 5 says R-7." in out
    assert "    5   ticket 55201: 42 bundles Fenwright 40, lot 0012345 x 42" in out
    assert "Not placed: papers/ticket-55201.pdf page 1 line 6: “FG-9999” is no product" in out
    assert "Nothing is read from letter-1.pdf." in out
    assert "+  issued: 2026-09-02" in out
    assert "R-2026-1187" not in out.partition("What agreeing")[2]
    assert "--agree 1,3-5" in out


def test_a_doubt_ends_with_one_full_stop() -> None:
    assert [ended(one) for one in ("look at both.", "line 5 says R-7")] == [
        "look at both.",
        "line 5 says R-7.",
    ]


def test_all_leaves_out_what_is_in_doubt_and_numbers_take_it(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    put(job, "permit-1.pdf", drawn([*PERMIT, (40, 140, "Permit No. R-7")]))
    assert read(job, "--agree", "all") == 2
    assert "Nothing was shown of this job's papers yet." in capsys.readouterr().err
    assert read(job) == 0
    assert read(job, "--agree", "all") == 0
    assert "Wrote 2 facts in job.yaml." in capsys.readouterr().out
    permit = record(job).permit
    assert permit is not None
    assert (permit.number, str(permit.issued)) == (None, "2026-09-02")
    assert read(job, "--agree", "1") == 4
    assert "no longer what was shown" in capsys.readouterr().err
    assert read(job) == 0
    assert "The record says already: permit issued" in capsys.readouterr().out
    assert read(job, "--agree", "1") == 0
    permit = record(job).permit
    assert permit is not None
    assert permit.number == "R-2026-1187"


def test_papers_shown_in_between_do_not_take_back_what_was_shown(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    permit, ticket = job / "papers/permit-1.pdf", job / "papers/ticket-55201.pdf"
    put(job, permit.name, drawn(PERMIT))
    put(job, ticket.name, drawn(TICKET))
    assert read(job, str(permit)) == 0
    assert read(job, str(ticket)) in (0, 1)
    assert read(job, str(permit), "--agree", "all") == 0
    assert "in job.yaml." in capsys.readouterr().out
    # The record is another one now, and the ticket was not shown beside it.
    assert read(job, str(ticket), "--agree", "all") == 4
    assert "no longer what was shown" in capsys.readouterr().err


def test_as_data_it_says_the_same(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    put(job, "permit-1.pdf", drawn(PERMIT))
    assert read(job, "--json") == 0
    data = json.loads(capsys.readouterr().out)
    first = data["found"][0]
    assert (first["number"], first["page"], first["line"], first["stands"]) == (
        *(1, 1, 2, "Permit No. R-2026-1187"),
    )
    assert first["what"]["english"] == "permit number: R-2026-1187"
    assert first["changes"] == [{"path": "permit.number", "value": "R-2026-1187"}]
    assert (first["doubt"], first["known"]) == (None, False)
    assert len(data["shown"]) == 64
    assert read(job, "--agree", "1,2", "--json") == 0
    assert json.loads(capsys.readouterr().out) == {"agreed": [1, 2], "filed": [], "moved": []}


def test_asked_in_a_terminal_it_goes_one_paper_after_the_other(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    put(job, "permit-1.pdf", drawn(PERMIT))
    put(job, "ticket-55201.pdf", drawn(TICKET))
    monkeypatch.setattr("sys.stdin", io.StringIO("9\nnone of it\n2 3\n\n"))
    assert read(job, "--ask") == 0
    out = capsys.readouterr().out
    assert "Only numbers of this paper: 1 to 3." in out
    assert "needed numbers" in out
    made = record(job)
    assert made.permit is not None
    assert (made.permit.number, made.deliveries) == (None, ())
    assert str(made.permit.closed_on) == "2026-09-21"


def test_where_nobody_answers_nothing_is_written(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    put(job, "permit-1.pdf", drawn(PERMIT))
    before = (job / "job.yaml").read_bytes()
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert read(job, "--ask") == 0
    assert "Nothing was agreed to" in capsys.readouterr().out
    assert (job / "job.yaml").read_bytes() == before


@pytest.mark.parametrize(
    ("text", "numbers"),
    [("1,3-5", (1, 3, 4, 5)), ("2 2,1", (2, 1)), ("", ()), (" 4 - 6 ", None), ("5-", None)],
)
def test_numbers_are_read_as_typed(text: str, numbers: tuple[int, ...] | None) -> None:
    if numbers is None:
        with pytest.raises(WrongCommand):
            numbers_in(text)
    else:
        assert numbers_in(text) == numbers


@pytest.mark.parametrize(
    ("words", "said"),
    [("It does not say so.", "It does not say so."), ("line 5 says R-7", "line 5 says R-7.")],
)
def test_a_doubt_ends_in_one_stop(words: str, said: str) -> None:
    assert ended(words) == said


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("slip.pdf", b"\x00\x01\x02 no paper", "It is no PDF, no picture and no table."),
        ("notes.txt", b"call the yard\n", "It is text; of text only a table (.csv) is read."),
    ],
)
def test_what_is_no_paper_is_not_called_a_scan(
    job: Path, name: str, data: bytes, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file = job.parent / name
    file.write_bytes(data)
    assert main(["read", str(job), str(file)]) == 0
    told = capsys.readouterr().out
    assert says in told
    assert "scan" not in told
