"""A paper in a heap gets its kind by its title where its name says none, and both are said where they differ."""

from pathlib import Path

import pytest

from dossier.cli import main
from tests.drawn_papers import by_hand
from tests.gather.conftest import put


def paper(*rows: str) -> bytes:
    """Return a paper with these lines."""
    return by_hand([(40, 60 + 20 * n, row) for n, row in enumerate(rows)], font="Helvetica")


def test_the_kind_is_that_of_the_title_and_the_reason_names_its_line(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    heap = tmp_path / "mail"
    put(heap / "scan0007.pdf", paper("Vintermark County Building Office", "Building permit", "R-1"))
    put(heap / "invoice 12.pdf", paper("Fjordgate Building Supply", "Delivery ticket 55120"))
    put(
        heap / "maker letter.pdf",
        paper("A maker", "Confirmation of registration WR-260774: Extended"),
    )
    put(heap / "scan0008.pdf", paper("Permits and invoices of the year", "a list of 2026"))
    assert main(["gather", str(job), str(heap), "--today", "2026-10-20"]) == 0
    table = {
        row.split("mail/")[1]: row for row in capsys.readouterr().out.splitlines() if "mail/" in row
    }
    permit, wrong, unknown, letter = (
        next(row for name, row in table.items() if name.startswith(start))
        for start in ("scan0007", "invoice", "scan0008", "maker")
    )
    # “Letter” says how a paper came and not what it is.
    assert " registration confirmation " in letter
    assert " permit " in permit
    assert "its line 2 says “Building permit”" in permit
    assert " invoice " in wrong
    assert "but its line 2 says “Delivery ticket 55120”" in wrong
    assert "unknown paper" in unknown
