"""A supplier's table becomes a delivery in a hand-written record, and what cannot be placed is an item."""

import csv
import difflib
import shutil
from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from dossier import RECORD_VERSION
from dossier.cli import main
from dossier.errors import UnreadableInput, WrongCommand
from dossier.gather.tickets import TicketForm, additions, read_ticket
from dossier.hand.text import with_changes
from dossier.reading.model import read_model
from dossier.reading.nodes import parse_tree
from dossier.record.job import Job
from dossier.record.materials import Delivery, Lot, MaterialLine
from dossier.record.read import read_job
from dossier.terms.suppliers import read_supplier
from tests.conftest import DEMO_JOBS, copy_office
from tests.drawn_papers import columns, drawn
from tests.known_good import DEMO, GOOD_JOB

TABLE = Path(__file__).parent / "fjordgate-ticket-55201.csv"
FORM = TicketForm(
    supplier="Fjordgate Building Supply",
    columns={"ticket": "T", "product": "P", "quantity": "Q", "unit": "U", "lot": "L", "on": "D"},
    delimiter=",",
    dates="MM/DD/YYYY",
    products={"FG-1": "Fenwright 40"},
    units={"BDL": "bundle"},
)
CATALOGUE: dict[str, tuple[str, Sequence[str]]] = {
    "Fenwright 40": ("bundle", ("Slate Grey", "Peat Brown")),
    "Coil nails, 1-1/4 in": ("box", ()),
}
HEAD = "T,D,P,Q,U,L\n"

DELIVERY = Delivery(
    ticket="55201",
    supplier="Fjordgate Building Supply",
    on=date(2026, 9, 15),
    lines=(
        MaterialLine(
            product="Fenwright 40",
            quantity=Fraction(42),
            unit="bundles",
            colour="Slate Grey",
            lots=(
                Lot(mark="0012345", quantity=Fraction(30)),
                Lot(mark="1E5", quantity=Fraction(12)),
            ),
        ),
        MaterialLine(product="Nails, 2: 1/4 # best", quantity=Fraction(5, 2), unit="boxes"),
    ),
)


def job_in(data: bytes) -> Job:
    """Return the record in these bytes."""
    tree = parse_tree(data, "job.yaml").tree
    assert tree is not None
    job = read_model(tree, "job.yaml", Job).model
    assert job is not None
    return job


def with_deliveries(data: bytes, job: Job, deliveries: Sequence[Delivery]) -> bytes:
    """Return the record's text with deliveries at the end of its list."""
    return with_changes(data, "job.yaml", Job, additions(job, deliveries))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return the known-good job in an office of its own."""
    office = copy_office(tmp_path / "office", GOOD_JOB.name)
    (office / "suppliers").mkdir()
    sheet = (DEMO / "suppliers" / "fjordgate.yaml").read_bytes()
    (office / "suppliers" / "fjordgate.yaml").write_bytes(sheet)
    return office / GOOD_JOB.name


def gather(folder: Path, *more: str) -> int:
    """Return the exit code of gathering the demo table."""
    return main(["gather", str(folder), str(TABLE), "--supplier", "fjordgate", *more])


def test_the_demo_table_becomes_a_delivery_and_two_items(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = (folder / "job.yaml").read_text()
    assert gather(folder) == 1
    out = capsys.readouterr().out
    assert (folder / "job.yaml").read_text() == before
    assert "“FG-9999” is no product of a catalogue" in out
    assert "line 8: the quantity cannot be read: found “-1”" in out
    assert (
        "+      - 42 bundles Fenwright 40, colour Slate Grey, lots 0012345 x 30; 0012346 x 12"
        in (out.replace('"', ""))
    )
    assert gather(folder, "--yes") == 1
    after = (folder / "job.yaml").read_text()
    changed = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    assert [line for line in changed if line.startswith("- ")] == []
    job = read_job(folder, RECORD_VERSION).model
    assert job is not None
    added = job.deliveries[-1]
    assert (added.ticket, added.supplier, added.on, added.file) == (
        *("55201", "Fjordgate Building Supply", date(2026, 9, 15), "papers/ticket-55201.csv"),
    )
    # The table is itself the paper on file.
    assert (folder / "papers" / "ticket-55201.csv").read_bytes() == TABLE.read_bytes()
    assert [(line.product, line.quantity, line.unit) for line in added.lines] == [
        ("Fenwright 40", 42, "bundles"),
        ("Icehold ice barrier", 3, "rolls"),
        ("OSB panel 7/16 in", 2, "sheets"),
    ]
    assert [lot.mark for line in added.lines for lot in line.lots] == ["0012345", "0012346", "1E5"]


def test_a_printed_ticket_is_gathered_as_the_same_table_is(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = list(csv.reader(TABLE.read_text().splitlines()))
    head, *lines = [row for row in rows if row]
    x = (40, 90, 150, 260, 360, 400, 440, 510)
    ticket = tmp_path / "slip.pdf"
    ticket.write_bytes(drawn(columns(x, 60, head, *lines), size=7))
    ask = ["gather", str(folder), str(ticket), "--supplier", "fjordgate", "--yes"]
    assert main(ask) == 1
    out = capsys.readouterr().out
    assert "page 1 line 6: “FG-9999” is no product of a catalogue" in out
    assert "page 1 line 7: the quantity cannot be read: found “-1”" in out
    assert "Filed papers/ticket-55201.pdf." in out
    job = read_job(folder, RECORD_VERSION).model
    assert job is not None
    by_paper = job.deliveries[-1]
    assert by_paper.file == "papers/ticket-55201.pdf"
    other = copy_office(tmp_path / "other", GOOD_JOB.name)
    shutil.copytree(folder.parent / "suppliers", other / "suppliers")
    assert gather(other / GOOD_JOB.name, "--yes") == 1
    by_table = read_job(other / GOOD_JOB.name, RECORD_VERSION).model
    assert by_table is not None
    assert by_paper.lines == by_table.deliveries[-1].lines
    scan = tmp_path / "scan.pdf"
    shutil.copy(GOOD_JOB / "papers" / "inspection-card.pdf", scan)
    assert main(["gather", str(folder), str(scan), "--supplier", "fjordgate"]) == 3
    assert "is a scan, whose words are not read" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["unsorted/paper-mail-0f0f0f0f.csv", "mail.csv"])
def test_a_ticket_in_the_job_whose_name_says_no_kind_is_moved(
    folder: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    source = folder / "papers" / name
    source.parent.mkdir(exist_ok=True)
    shutil.copy(TABLE, source)
    assert main(["gather", str(folder), str(source), "--supplier", "fjordgate", "--yes"]) == 1
    assert f"Moved papers/{name} to papers/ticket-55201.csv." in capsys.readouterr().out
    assert not source.exists()
    job = read_job(folder, RECORD_VERSION).model
    assert job is not None
    assert job.deliveries[-1].file == "papers/ticket-55201.csv"
    assert (folder / "papers" / "ticket-55201.csv").read_bytes() == TABLE.read_bytes()


def test_the_same_ticket_twice_is_refused(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    gather(folder, "--yes")
    after = (folder / "job.yaml").read_bytes()
    assert gather(folder, "--yes") == 2
    assert "Ticket 55201 is in job.yaml already, as delivery 3" in capsys.readouterr().err
    assert (folder / "job.yaml").read_bytes() == after


@pytest.mark.parametrize("name", DEMO_JOBS)
def test_every_demo_record_takes_a_delivery_and_keeps_its_lines(name: str) -> None:
    before = (DEMO / name / "job.yaml").read_bytes()
    job = job_in(before)
    after = with_deliveries(before, job, [DELIVERY])
    rows = difflib.ndiff(before.decode().splitlines(), after.decode().splitlines())
    assert [row for row in rows if row.startswith("- ")] == []
    assert job_in(after).deliveries == (*job.deliveries, DELIVERY)


HEADER = "record: 1\njob:\n  number: 1\n  address: a\n  locality: b\n"
ONE = "deliveries:\n  - ticket: 1\n    lines: 2 sheets OSB\n"


@pytest.mark.parametrize(
    "text",
    [
        HEADER + ONE,
        HEADER + ONE + "    # spare left behind\n\n# the work\nwork: 2026-09-14, deck\n",
        (HEADER + ONE + "# end\n").replace("\n", "\r\n"),
        HEADER + "deliveries:\n- ticket: 1\n- ticket: 2   # two\nwork: 2026-09-14, deck\n",
        HEADER + "deliveries:   # none yet\n\nnotes:\n  - x\n",
        HEADER + "deliveries:",
        HEADER + "# about the work\nwork: 2026-09-14, deck\n",
        HEADER,
        HEADER + "...\n",
        "\ufeff" + HEADER + ONE,
        HEADER + "deliveries:   # said by hand\n",
        HEADER + "deliveries:\n  - ticket: 1\n    supplier: |\n      Fjord\n      gate\nnotes: x\n",
    ],
)
def test_comments_order_and_layout_survive(text: str) -> None:
    before = text.encode()
    job = job_in(before)
    after = with_deliveries(before, job, [DELIVERY])
    assert job_in(after).deliveries == (*job.deliveries, DELIVERY)
    kept = before.decode().splitlines()
    rows = iter(after.decode().splitlines())
    assert all(line in rows for line in kept), "every line is there, in its order"
    if "\r\n" in text:
        assert "\n" not in after.decode().replace("\r\n", "")


@pytest.mark.parametrize(
    "text",
    [
        HEADER + "deliveries: []   # none yet\nnotes: x\n",
        HEADER + "deliveries: [{ticket: 1}]\n",
        '{"record": 1, "job": {"number": 1, "address": "a", "locality": "b"}}\n',
    ],
)
def test_a_list_in_brackets_takes_a_delivery(text: str) -> None:
    job = job_in(text.encode())
    after = with_deliveries(text.encode(), job, [DELIVERY])
    assert job_in(after) == job.model_copy(update={"deliveries": (*job.deliveries, DELIVERY)})


def test_a_comment_stays_with_what_it_stands_above() -> None:
    """Indented comments belong to the list, those at the margin to the field that follows."""
    text = HEADER + ONE + "    # spare left behind\n\n# the work\nwork: 2026-09-14, deck\n"
    after = with_deliveries(text.encode(), job_in(text.encode()), [DELIVERY]).decode()
    assert "    # spare left behind\n  - ticket: 55201\n" in after
    assert after.endswith("\n\n# the work\nwork: 2026-09-14, deck\n")
    text = HEADER + "# the work\nwork: 2026-09-14, deck\n"
    after = with_deliveries(text.encode(), job_in(text.encode()), [DELIVERY]).decode()
    assert after.startswith(HEADER + "deliveries:\n  - ticket: 55201\n")
    assert after.endswith("\n# the work\nwork: 2026-09-14, deck\n")


@pytest.mark.parametrize(
    "text",
    [
        HEADER + "deliveries:\n  ticket: 1\n  lines: 2 sheets OSB\n",
        HEADER + "? notes\n: x\n",
    ],
)
def test_a_layout_that_cannot_take_lines_is_refused(text: str) -> None:
    before = text.encode()
    with pytest.raises(UnreadableInput):
        with_deliveries(before, job_in(before), [DELIVERY])


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("1,09/15/2026,FG-2,3,BDL,", "“FG-2” is no product of a catalogue"),
        ("1,09/15/2026,Fenwrigt 40,3,BDL,", "the nearest is “Fenwright 40”"),
        ("1,09/15/2026,FG-1,3,SQ,", "is counted in “SQ” here and in “bundle” in the catalogue"),
        ("1,09/15/2026,FG-1,-3,BDL,", "found “-3”"),
        ("1,09/15/2026,FG-1,many,BDL,", "found “many”"),
        ("1,09/15/2026,FG-1,0,BDL,", "the quantity is zero"),
        ("1,2026-09-15,FG-1,3,BDL,", "found “2026-09-15”, needed MM/DD/YYYY"),
        ("1,02/30/2026,FG-1,3,BDL,", "which no calendar has"),
        (",09/15/2026,FG-1,3,BDL,", "there is no ticket number"),
        ("1,09/15/2026,FG-1,3,BDL,n/a", "cannot stand in a record"),
    ],
)
def test_a_line_that_cannot_be_placed_is_an_item_and_the_rest_goes_on(row: str, says: str) -> None:
    good = '1,09/15/2026,"coil nails, 1-1/4 in",2,boxes,\n'
    ticket = read_ticket((HEAD + row + "\n" + good).encode(), "t.csv", FORM, CATALOGUE)
    [item] = ticket.items
    assert says in str(item.says)
    assert item.where.line == 2
    [delivery] = ticket.deliveries
    assert [(line.product, line.unit) for line in delivery.lines] == [
        ("Coil nails, 1-1/4 in", "boxes")
    ]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"T,D,P,Q,U\n", "no column “L” for the lot"),
        (b"T,D,P,Q,U,L,t\n", "more than one column “T”"),
        (b"", "no column “T”"),
        (b"T,D,P,Q,U,L\n1,\xe9,x,1,,\n", "is not UTF-8"),
        (b'T,D,P,Q,U,L\n"1,x\n', "is not a line of a table"),
        (b"T,D,P,Q,U,L\n" * 3_000, "more than 2,000 lines"),
        (b"x" * 2_000_001, "at most 2,000,000 are read"),
    ],
)
def test_a_table_of_another_layout_is_a_sentence(data: bytes, says: str) -> None:
    with pytest.raises(UnreadableInput, match=says):
        read_ticket(data, "t.csv", FORM, CATALOGUE)


def test_two_tickets_in_one_table_are_two_deliveries() -> None:
    rows = "2,09/16/2026,FG-1,1,BDL,a1\n1,09/15/2026,FG-1,2,BDL,b1\n2,09/17/2026,FG-1,3,BDL,a1\n"
    ticket = read_ticket((HEAD + rows).encode(), "t.csv", FORM, CATALOGUE)
    assert [(one.ticket, str(one.on)) for one in ticket.deliveries] == [
        ("2", "2026-09-17"),
        ("1", "2026-09-15"),
    ]
    [line] = ticket.deliveries[0].lines
    assert (line.quantity, line.lots) == (4, (Lot(mark="a1", quantity=Fraction(4)),))


def test_a_ticket_of_another_supplier_may_have_the_same_number() -> None:
    before = (
        (GOOD_JOB / "job.yaml")
        .read_bytes()
        .replace(b"  - ticket: 55120\n", b"  - ticket: 55201\n    supplier: Lakeyard\n")
    )
    after = with_deliveries(before, job_in(before), [DELIVERY])
    assert len(job_in(after).deliveries) == 3
    nameless = (GOOD_JOB / "job.yaml").read_bytes().replace(b"55120", b"55201")
    with pytest.raises(WrongCommand, match=r"in job\.yaml already"):
        with_deliveries(nameless, job_in(nameless), [DELIVERY])


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("parted_by: comma", "parted_by: dots", "needed comma, semicolon or tab"),
        ("MM/DD/YYYY", "MM/DD/YY", "needed a form such as MM/DD/YYYY or DD MMM YYYY"),
        ("MM/DD/YYYY", "DD MMMMM YYYY", "needed a form such as"),
        ("MM/DD/YYYY", "DD of MMM YYYY", "needed a form such as"),
        ("MM/DD/YYYY", "DD MM MMM YYYY", "needed a form such as"),
        ("  lot: Lot", "  lott: Lot", "nearest known field is “lot”"),
    ],
)
def test_a_slip_in_a_suppliers_sheet_is_a_sentence(
    folder: Path, old: str, new: str, says: str
) -> None:
    path = folder.parent / "suppliers" / "fjordgate.yaml"
    path.write_text(path.read_text().replace(old, new))
    with pytest.raises(UnreadableInput, match=says):
        read_supplier(folder.parent, "fjordgate")


def test_an_unknown_supplier_names_those_there_are(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["gather", str(folder), str(TABLE), "--supplier", "../x"]) == 3
    assert "It has fjordgate." in capsys.readouterr().err


def test_the_demo_sheet_names_products_and_units_that_the_catalogues_have() -> None:
    supplier = read_supplier(DEMO, "fjordgate")
    known = "\n".join(path.read_text() for path in DEMO.glob("terms/*.catalogue.yaml"))
    assert [one for one in supplier.products if f"product: {one.product}\n" not in known] == []
    assert [one for one in supplier.units if f"unit: {one.unit}\n" not in known] == []
    with TABLE.open(newline="") as table:
        assert set(supplier.columns.model_dump().values()) <= set(next(csv.reader(table)))


def test_what_a_line_left_out_advises_can_be_done_before_and_after_the_ticket_is_written(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Gathering again is refused once the ticket is written, so the advice names the way around it."""
    job, table = folder, tmp_path / "ticket.csv"
    table.write_bytes(TABLE.read_bytes())
    gather = ["gather", str(job), str(table), "--supplier", "fjordgate", "--yes"]
    before = (job / "job.yaml").read_bytes()
    assert main(gather) == 1
    told = capsys.readouterr().out
    assert "Once the ticket is in job.yaml: type this line in there, or delete its delivery" in told
    assert main(gather) == 2
    assert "Type what is missing in there, or delete delivery 3 first" in capsys.readouterr().err
    (job / "job.yaml").write_bytes(before)
    assert main(gather) == 1, "with its delivery deleted the ticket is gathered again"
