"""A paper in a heap gets its kind by its title where its name says none, and both are said where they differ."""

from pathlib import Path

import pytest

from dossier.cli import main
from dossier.evidence.text import read_texts
from dossier.gather.titles import title_of
from dossier.words import PaperKind
from tests.drawn_papers import by_hand, columns, drawn
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


GOODS = ("Article", "What", "Unit", "Count")
LOADS = ("Material", "Gross", "Tare", "Qty")


@pytest.mark.parametrize(
    ("above", "heads", "kind"),
    [
        (("Oxbow Counter", "PICK SLIP 5518"), GOODS, PaperKind.TICKET),
        (("Oxbow Counter", "Ticket OX 20-7741"), GOODS, PaperKind.TICKET),
        (("Oxbow Counter", "TICKET NO. 55201"), GOODS, PaperKind.TICKET),
        # Without heads of goods, or with weights, “ticket” may be anybody's.
        (("Vintermark", "Ticket OX 20-7741"), ("Day", "Place"), None),
        (("Vintermark", "Ticket OX 20-7741"), LOADS, None),
        (("Halvorsted transfer station", "Ticket 20-7741"), GOODS, None),
        (("Oxbow Counter", "Ticket holders pay half"), GOODS, None),
        (("INVOICE", "Ticket OX 20-7741"), GOODS, PaperKind.INVOICE),
        (
            ("Renovation record - house built before 1978", "118 Plover Lane"),
            (),
            PaperKind.LEAD_RECORD,
        ),
        (("RENOVATION RECORDKEEPING CHECKLIST", "lead paint"), (), PaperKind.LEAD_RECORD),
        (("Renovation record", "Kitchen and bath"), (), None),
        (("Pick slippers", "118 Plover Lane"), (), None),
    ],
)
def test_titles_of_counters_and_of_renovators(
    above: tuple[str, ...], heads: tuple[str, ...], kind: PaperKind | None
) -> None:
    page = [(40.0, 40.0 + 20 * n, words) for n, words in enumerate(above)]
    [text] = read_texts([drawn([*page, *columns((40, 150, 330, 430), 120, heads)])])
    title = title_of(text)
    assert (title.kind if title else None) is kind
