"""Papers read, shown and agreed to: what was shown is what is written, and nothing else."""

import os
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from dossier import RECORD_VERSION
from dossier.deeds.papers_at_hand import PapersAsked
from dossier.deeds.reading_papers import Proposals, agree, drafted, read_papers
from dossier.errors import CannotWrite, WrongCommand
from dossier.evidence import text as paper_text
from dossier.evidence.measuring import measure
from dossier.evidence.text import read_texts
from dossier.hand.file import undo
from dossier.record.job import Job
from dossier.record.read import read_job
from dossier.words import PaperKind
from tests.conftest import copy_office, no_clock
from tests.drawn_papers import by_hand, columns, drawn
from tests.gather.test_printed_tickets import HEAD, TOP, X
from tests.known_good import DEMO, GOOD_JOB, TODAY

TICKET = TOP + columns(
    X,
    120,
    HEAD,
    ("FG-1001", "Laminated shingle", "42", "BDL", "0012345"),
    ("FG-9999", "Roof cement", "1", "PC", ""),
    ("FG-2200", "Membrane", "3", "RL", "1E5"),
)
PERMIT = [
    (40, 60, "Building permit"),
    (40, 80, "Permit No. R-2026-1187"),
    (40, 100, "Date issued: 2026-09-02"),
    (40, 120, "Date closed: 2026-09-21"),
]


@pytest.fixture(autouse=True)
def nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> Iterator[None]:
    """Hold every test to a screen that stays empty."""
    yield
    assert capfd.readouterr() == ("", "")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return the known-good job without papers, permit or deliveries, in an office with a supplier."""
    office = copy_office(tmp_path / "office", GOOD_JOB.name)
    (office / "suppliers").mkdir()
    sheet = (DEMO / "suppliers" / "fjordgate.yaml").read_text()
    # On paper this supplier prints no colour.
    heads = {
        "ticket": "Ticket No", "on": "Ship Date", "product": "Item", "quantity": "Qty", "unit": "UOM",
        "lot": "Lot",
    }  # fmt: skip
    printed = "printed:\n" + "".join(f"  {name}: {head}\n" for name, head in heads.items())
    (office / "suppliers" / "fjordgate.yaml").write_text(sheet + printed)
    folder = office / GOOD_JOB.name
    for paper in (folder / "papers").iterdir():
        paper.unlink()
    text = (folder / "job.yaml").read_text()
    start, end = text.index("deliveries:"), text.index("work:")
    text = text[:start] + text[end:]
    start, end = text.index("permit:"), text.index("warranties:")
    (folder / "job.yaml").write_text(text[:start] + text[end:])
    return folder


def asked(job: Path, *files: Path) -> PapersAsked:
    """Return what is asked of these papers, or of all of the job."""
    return PapersAsked(job, files, today=TODAY)


def record(job: Path) -> Job:
    """Return the record as it is."""
    model = read_job(job, RECORD_VERSION).model
    assert model is not None
    return model


def put(job: Path, name: str, data: bytes) -> None:
    """Put a paper into a job."""
    (job / "papers" / name).write_bytes(data)


def whats(shown: Proposals) -> list[str]:
    """Return what is proposed, in words."""
    return [str(one.what) for one in shown.found]


def test_a_printed_ticket_becomes_a_delivery_that_names_its_paper(job: Path) -> None:
    put(job, "ticket-55201.pdf", drawn(TICKET))
    before = (job / "job.yaml").read_bytes()
    shown = read_papers(asked(job), no_clock)
    assert whats(shown) == [
        "ticket 55201 of Fjordgate Building Supply, delivered 15 September 2026",
        "ticket 55201: 42 bundles Fenwright 40, lot 0012345 x 42",
        "ticket 55201: 3 rolls Icehold ice barrier, lot 1E5 x 3",
    ]
    assert shown.undoubted == (1, 2, 3)
    [item] = shown.at.papers[0].items
    assert "page 1 line 6: “FG-9999” is no product of a catalogue" in str(item.says)
    assert (job / "job.yaml").read_bytes() == before
    done = agree(asked(job), no_clock, shown.digest, shown.undoubted)
    assert done.filed == ()
    [delivery] = record(job).deliveries
    assert (delivery.ticket, delivery.on, delivery.file) == (
        *("55201", date(2026, 9, 15), "papers/ticket-55201.pdf"),
    )
    assert [line.product for line in delivery.lines] == ["Fenwright 40", "Icehold ice barrier"]
    again = read_papers(asked(job), no_clock)
    assert again.found == ()
    assert undo(job) == ("job.yaml",)
    assert (job / "job.yaml").read_bytes() == before


def test_one_line_alone_brings_the_head_of_its_ticket(job: Path) -> None:
    put(job, "ticket-55201.pdf", drawn(TICKET))
    shown = read_papers(asked(job), no_clock)
    agree(asked(job), no_clock, shown.digest, [3])
    [delivery] = record(job).deliveries
    assert (delivery.ticket, [line.product for line in delivery.lines]) == (
        *("55201", ["Icehold ice barrier"]),
    )
    late = read_papers(asked(job), no_clock)
    assert whats(late) == ["ticket 55201: 42 bundles Fenwright 40, lot 0012345 x 42"]
    assert str(late.found[0].doubt) == "the record has ticket 55201 without it"


def unsorted(job: Path, name: str, data: bytes) -> Path:
    """Put a paper where gather puts what nobody has said the kind of."""
    path = job / "papers" / "unsorted" / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(data)
    return path


def test_an_unsorted_ticket_is_moved_to_where_its_kind_is_read(job: Path) -> None:
    here = unsorted(job, "paper-scan-3-0f0f0f0f.pdf", drawn(TICKET))
    before = (job / "job.yaml").read_bytes()
    ask = replace(asked(job, here), supplier="fjordgate")
    shown = read_papers(ask, no_clock)
    assert here.exists()
    done = agree(ask, no_clock, shown.digest, shown.undoubted)
    file = "papers/ticket-55201.pdf"
    assert done.moved == (("papers/unsorted/paper-scan-3-0f0f0f0f.pdf", file),)
    assert (job / file).read_bytes() == drawn(TICKET)
    assert not here.exists()
    assert [one.file for one in record(job).deliveries] == [file]
    assert record(job).papers == ()
    assert read_papers(asked(job), no_clock).found == ()
    assert undo(job) == ("job.yaml",)
    assert (job / "job.yaml").read_bytes() == before
    assert here.read_bytes() == drawn(TICKET)
    assert not (job / file).exists()


def test_an_unsorted_paper_of_any_kind_is_moved_with_its_first_fact(job: Path) -> None:
    here = unsorted(job, "paper-scan-4-0f0f0f0f.pdf", drawn(PERMIT))
    shown = read_papers(asked(job), no_clock)
    number = next(n for n, one in enumerate(shown.found, 1) if "permit number" in str(one.what))
    agree(asked(job), no_clock, shown.digest, [number])
    assert not here.exists()
    assert (job / "papers" / "permit-scan-4-0f0f0f0f.pdf").exists()


@pytest.mark.parametrize("what", ["place", "record"])
def test_an_unsorted_paper_is_moved_with_the_record_or_not_at_all(
    job: Path, what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = unsorted(job, "paper-scan-3-0f0f0f0f.pdf", drawn(PERMIT))
    taken = job / "papers" / "permit-scan-3-0f0f0f0f.pdf"
    ask = asked(job, here)
    shown = read_papers(ask, no_clock)
    if what == "place":
        taken.write_bytes(b"somebody else's")
    else:
        monkeypatch.setattr("dossier.hand.file._replace_all", no_space)
    before = (job / "job.yaml").read_bytes()
    with pytest.raises(CannotWrite):
        agree(ask, no_clock, shown.digest, shown.undoubted)
    assert here.read_bytes() == drawn(PERMIT)
    assert (taken.read_bytes() if taken.exists() else None) == (
        b"somebody else's" if what == "place" else None
    )
    assert (job / "job.yaml").read_bytes() == before


def no_space(*_: object) -> None:
    """Fail as a full disk does."""
    raise CannotWrite("No space is left.", "Free some.")


def test_an_unsorted_paper_that_the_record_names_stays_where_it_is(job: Path) -> None:
    here = unsorted(job, "paper-scan-4-0f0f0f0f.pdf", drawn(PERMIT))
    text = (job / "job.yaml").read_text()
    entry = "  - file: papers/unsorted/paper-scan-4-0f0f0f0f.pdf\n    kind: permit\n"
    assert "papers:" not in text
    (job / "job.yaml").write_text(f"{text}papers:\n{entry}")
    shown = read_papers(asked(job), no_clock)
    done = agree(asked(job), no_clock, shown.digest, shown.undoubted)
    assert (done.moved, here.exists()) == ((), True)


def test_a_ticket_that_only_its_supplier_s_name_tells_is_filed_as_one(job: Path) -> None:
    put(job, "scan 3.pdf", drawn(TICKET))
    ask = replace(asked(job, Path("papers/scan 3.pdf")), supplier="fjordgate")
    shown = read_papers(ask, no_clock)
    agree(ask, no_clock, shown.digest, shown.undoubted)
    assert [(one.file, one.kind) for one in record(job).papers] == [
        ("papers/scan 3.pdf", PaperKind.TICKET)
    ]


@pytest.mark.parametrize("ending", ["pdf", "csv"])
def test_a_ticket_from_outside_is_filed_and_named(job: Path, tmp_path: Path, ending: str) -> None:
    outside = tmp_path / f"download (3).{ending}"
    table = (
        b"Ticket No,Ship Date,Item,Qty,UOM,Lot,Color\n55201,09/15/2026,FG-1001,42,BDL,0012345,\n"
    )
    outside.write_bytes(drawn(TICKET) if ending == "pdf" else table)
    ask = replace(asked(job, outside), supplier="fjordgate")
    shown = read_papers(ask, no_clock)
    done = agree(ask, no_clock, shown.digest, shown.undoubted)
    file = f"papers/ticket-55201.{ending}"
    assert done.filed == (file,)
    assert (job / file).read_bytes() == outside.read_bytes()
    assert record(job).deliveries[0].file == file
    fact = measure(job, [], [file]).papers[file]
    assert fact.fault is None
    # The same bytes are known again as the paper of the job.
    assert read_papers(ask, no_clock).found == ()


def test_where_nothing_of_a_paper_is_agreed_to_it_is_not_filed(job: Path, tmp_path: Path) -> None:
    outside = tmp_path / "scan 4.pdf"
    outside.write_bytes(drawn(PERMIT))
    put(job, "ticket-55201.pdf", drawn(TICKET))
    ask = asked(job, outside, Path("papers/ticket-55201.pdf"))
    shown = read_papers(ask, no_clock)
    assert [paper.file for paper in shown.at.papers] == [
        "papers/permit-scan-4.pdf",
        "papers/ticket-55201.pdf",
    ]
    ticket = next(n for n, one in enumerate(shown.found, start=1) if "ticket" in str(one.what))
    assert agree(ask, no_clock, shown.digest, [ticket]).filed == ()
    assert not (job / "papers" / "permit-scan-4.pdf").exists()


def test_several_papers_are_one_writing(job: Path) -> None:
    put(job, "permit-1.pdf", drawn(PERMIT))
    put(job, "ticket-55201.pdf", drawn(TICKET))
    other = [(x, y, words.replace("55201", "55202")) for x, y, words in TICKET]
    put(job, "ticket-55202.pdf", by_hand(other))
    shown = read_papers(asked(job), no_clock)
    agree(asked(job), no_clock, shown.digest, shown.undoubted)
    made = record(job)
    assert [one.ticket for one in made.deliveries] == ["55201", "55202"]
    assert made.permit is not None
    assert (made.permit.number, made.permit.issued, made.permit.closed_on) == (
        *("R-2026-1187", date(2026, 9, 2), date(2026, 9, 21)),
    )


def test_the_same_ticket_filed_twice_is_offered_once_for_sure(job: Path) -> None:
    put(job, "ticket-55201.pdf", drawn(TICKET))
    put(job, "ticket-55201-copy.pdf", by_hand(TICKET))
    shown = read_papers(asked(job), no_clock)
    first = {one.file for one in shown.found if one.doubt is None}
    assert len(first) == 1
    agree(asked(job), no_clock, shown.digest, shown.undoubted)
    assert len(record(job).deliveries) == 1


@pytest.mark.parametrize("what", ["record", "paper", "another paper"])
def test_what_is_no_longer_what_was_shown_is_not_written(job: Path, what: str) -> None:
    put(job, "permit-1.pdf", drawn(PERMIT))
    shown = read_papers(asked(job), no_clock)
    if what == "record":
        (job / "job.yaml").write_text((job / "job.yaml").read_text() + "# looked at\n")
    elif what == "paper":
        put(job, "permit-1.pdf", drawn([*PERMIT, (40, 200, "a word more")]))
    else:
        put(job, "invoice-1.pdf", drawn(PERMIT))
    before = (job / "job.yaml").read_bytes()
    with pytest.raises(CannotWrite, match="no longer what was shown"):
        agree(asked(job), no_clock, shown.digest, [1])
    assert (job / "job.yaml").read_bytes() == before


def test_two_facts_that_contradict_each_other_are_not_both_written(job: Path) -> None:
    put(job, "permit-1.pdf", drawn(PERMIT))
    put(job, "permit-2.pdf", drawn([(x, y, w.replace("1187", "1188")) for x, y, w in PERMIT]))
    shown = read_papers(asked(job), no_clock)
    numbers = [n for n, one in enumerate(shown.found, start=1) if "permit number" in str(one.what)]
    assert not set(numbers) & set(shown.undoubted)
    with pytest.raises(WrongCommand, match=r"different things about permit\.number"):
        drafted(shown, numbers)
    drafted(shown, numbers[:1])


def test_a_scan_is_said_to_be_one_and_nothing_is_proposed(job: Path) -> None:
    scan = (GOOD_JOB / "papers" / "inspection-card.pdf").read_bytes()
    put(job, "inspection-card.pdf", scan)
    put(job, "permit-1.pdf", by_hand([(300, 780, "page 1")]))
    shown = read_papers(asked(job), no_clock)
    assert shown.found == ()
    assert (
        remarks(shown)
        == ["it is a scan or a picture, whose words are not read; nothing is proposed from it"] * 2
    )


def test_words_that_nobody_sees_put_all_in_doubt(job: Path) -> None:
    put(job, "permit-1.pdf", by_hand(PERMIT, mode=3))
    shown = read_papers(asked(job), no_clock)
    assert shown.found
    assert shown.undoubted == ()


def test_an_unknown_supplier_s_ticket_proposes_its_sheet(job: Path) -> None:
    page = [(x, y, words.replace("Fjordgate", "Sandholm")) for x, y, words in TICKET]
    put(job, "ticket-9.pdf", drawn(page))
    shown = read_papers(asked(job), no_clock)
    assert shown.found == ()
    sheet = shown.at.papers[0].sheet
    assert sheet is not None
    (job.parent / "suppliers" / "sandholm.yaml").write_text(
        sheet + "products:\n  - code: FG-1001\n    product: Fenwright 40\n"
        "units:\n  - code: BDL\n    unit: bundle\n"
    )
    again = read_papers(asked(job), no_clock)
    assert whats(again)[:2] == [
        "ticket 55201 of Sandholm Building Supply, delivered 15 September 2026",
        "ticket 55201: 42 bundles Fenwright 40, lot 0012345 x 42",
    ]


def test_a_ticket_without_heads_says_why_no_sheet_is_proposed(job: Path) -> None:
    (job.parent / "suppliers" / "fjordgate.yaml").unlink()
    words = "Forty-two bundles of shingles and three rolls were brought to the house."
    put(job, "ticket-55201.pdf", drawn([*TOP, (40, 120, words)]))
    [paper] = read_papers(asked(job), no_clock).at.papers
    assert paper.sheet is None
    assert [str(one) for one in paper.remarks] == [
        "no sheet in suppliers/ has the supplier that this ticket names",
        "none can be proposed: no line of it has heads of a product and of a quantity",
    ]


def test_a_name_that_says_letter_does_not_hide_what_the_letter_is(job: Path) -> None:
    page = [
        (40, 40, "Confirmation of registration WR-260774"),
        (40, 60, "Confirmation No. WR-260774"),
    ]
    put(job, "letter-maker.pdf", drawn(page))
    shown = read_papers(asked(job), no_clock)
    assert "kind of paper: registration confirmation" in whats(shown)
    assert shown.at.papers[0].kind is PaperKind.REGISTRATION_CONFIRMATION
    # Where somebody has typed that it is a letter, it is one.
    text = (job / "job.yaml").read_text()
    entry = "papers:\n  - file: papers/letter-maker.pdf\n    kind: letter\n"
    (job / "job.yaml").write_text(text + entry)
    shown = read_papers(asked(job), no_clock)
    assert shown.at.papers[0].kind is PaperKind.LETTER


def remarks(shown: Proposals) -> list[str]:
    """Return what has to be said of the papers besides."""
    return [str(one) for paper in shown.at.papers for one in paper.remarks]


def test_a_supplier_s_sheet_with_a_fault_is_named_and_not_proposed_anew(job: Path) -> None:
    put(job, "ticket-55201.pdf", drawn(TICKET))
    sheet = job.parent / "suppliers" / "fjordgate.yaml"
    good = sheet.read_text()
    sheet.write_text(good + "printed_dates: on a Monday\n")
    shown = read_papers(asked(job), no_clock)
    [remark] = remarks(shown)
    assert "suppliers/fjordgate.yaml" in remark
    assert "found “on a Monday”" in remark
    assert shown.at.papers[0].sheet is None
    # A sheet of somebody else with a fault does not stand in the way of one that can be read.
    sheet.write_text(good)
    sheet.with_name("sandholm.yaml").write_text("supplier: [\n")
    assert read_papers(asked(job), no_clock).undoubted
    # Of another supplier's ticket it cannot be told whether it is the one; its name is said.
    other = [(x, y, words.replace("Fjordgate", "Merrow")) for x, y, words in TICKET]
    put(job, "ticket-55201.pdf", drawn(other))
    [remark] = remarks(read_papers(asked(job), no_clock))
    assert "suppliers/sandholm.yaml" in remark


def test_two_sheets_of_one_supplier_are_both_named(job: Path) -> None:
    put(job, "ticket-55201.pdf", drawn(TICKET))
    sheet = job.parent / "suppliers" / "fjordgate.yaml"
    sheet.with_name("fjordgate-2.yaml").write_text(sheet.read_text())
    shown = read_papers(asked(job), no_clock)
    assert remarks(shown) == [
        "this ticket names the suppliers of more than one sheet: fjordgate-2 and fjordgate; "
        "name the one it is from by --supplier"
    ]
    assert shown.at.papers[0].sheet is None


@pytest.mark.parametrize(
    ("site", "ours"),
    [
        ("EKDAHL, 118 Plover Lane, Halvorsted", True),
        ("M. Ekdahl 118 Plover Lane", True),
        ("EKDAHL, 1118 Plover Lane, Halvorsted", False),
        ("Lot 7, 118 Plover Lane, Halvorsted", False),
        ("EKDAHL, 118 Plover Lane, Port Ismere", False),
    ],
)
def test_a_name_before_the_street_makes_no_other_house(job: Path, site: str, ours: bool) -> None:
    page = [(x, y, words.replace("118 Plover Lane, Halvorsted", site)) for x, y, words in TICKET]
    put(job, "ticket-55201.pdf", drawn(page))
    assert bool(read_papers(asked(job), no_clock).undoubted) is ours


def test_a_ticket_for_another_house_or_of_a_day_to_come_is_in_doubt(job: Path) -> None:
    other = [(x, y, words.replace("118 Plover Lane", "7 Mill Race Road")) for x, y, words in TICKET]
    put(job, "ticket-55201.pdf", drawn(other))
    shown = read_papers(asked(job), no_clock)
    assert shown.undoubted == ()
    assert "it names “7 Mill Race Road, Halvorsted”" in str(shown.found[0].doubt)
    late = [(x, y, words.replace("/2026", "/2027")) for x, y, words in TICKET]
    put(job, "ticket-55201.pdf", drawn(late))
    shown = read_papers(asked(job), no_clock)
    assert shown.undoubted == ()
    assert str(shown.found[0].doubt) == "its day is later than today, 20 October 2026"


def test_a_ticket_that_contradicts_the_record_is_shown_with_both(job: Path) -> None:
    put(job, "ticket-55201.pdf", drawn(TICKET))
    shown = read_papers(asked(job), no_clock)
    agree(asked(job), no_clock, shown.digest, shown.undoubted)
    less = [(x, y, words.replace("42", "40") if words == "42" else words) for x, y, words in TICKET]
    put(job, "ticket-55201.pdf", by_hand(less))
    [line] = read_papers(asked(job), no_clock).found
    assert str(line.doubt) == "the record has 42"
    assert line.changes[0].path == ("deliveries", "0", "lines", "0", "quantity")


# --- papers made to harm ------------------------------------------------------------------------


@pytest.mark.parametrize("ends", ["time.sleep(60)", "os._exit(3)", "os.kill(os.getpid(), 9)"])
def test_a_paper_that_brings_its_reader_down_costs_only_itself(
    ends: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The reader answers one paper and then takes for ever, ends, or is ended, as a library may."""
    reader = (
        "import json, os, sys, time; sys.stdin.buffer.readline(); "
        f"print(json.dumps({{'pages': [], 'count': 0}}), flush=True); {ends}"
    )
    monkeypatch.setattr(paper_text, "_RUN", reader)
    first, second, third = read_texts([b"one", b"two", b"three"], most_seconds=0.5)
    assert (first.fault, third.fault) == (None, None)
    assert (
        second.fault
        == "asks for far more work to read than an ordinary paper. Print it to a new PDF."
    )


@pytest.mark.parametrize(
    "data",
    [
        b"%PDF-1.7\n",
        b"%PDF-1.7\n" + b"[" * 200_000 + b"\n%%EOF",
        by_hand(PERMIT)[:-200],
        by_hand(PERMIT).replace(b"/Kids[4 0 R]", b"/Kids[2 0 R]"),
        by_hand(PERMIT).replace(b"/Count 1", b"/Count 99999999"),
        os.urandom(5_000),
    ],
    ids=["only a head", "nested", "cut", "a tree in a ring", "a count too high", "noise"],
)
def test_bytes_that_are_no_paper_are_a_fault_or_a_scan(data: bytes) -> None:
    [text] = read_texts([data])
    assert text.fault is not None or text.lines == () or text.lines[0].text == "Building permit"


def test_letters_that_steer_a_terminal_never_come_through() -> None:
    page = [(40, 60, "Permit No. R-1\x1b[31m\x07 done and some more words")]
    [text] = read_texts([by_hand(page)])
    assert all(line.text.isprintable() for line in text.lines)


def test_outside_papers_of_one_name_are_filed_apart(job: Path, tmp_path: Path) -> None:
    put(job, "permit.pdf", drawn([(40, 60, "Building permit"), (40, 80, "Application of August")]))
    outside = []
    for number, site in enumerate(("118 Plover Lane", "99 Other Road")):
        folder = tmp_path / str(number)
        folder.mkdir()
        outside.append(folder / "permit.pdf")
        page = [
            (40, 60, "Building permit"),
            (40, 80, f"Site address: {site}"),
            (40, 100, f"Permit No: R-2026-000{number}"),
        ]
        outside[-1].write_bytes(drawn(page))
    shown = read_papers(asked(job, *outside), no_clock)
    assert [(one.file, one.doubt is None) for one in shown.found] == [
        ("papers/permit-permit.pdf", False),
        ("papers/permit-permit-2.pdf", False),
    ]
    agree(asked(job, *outside), no_clock, shown.digest, [1])
    assert (job / "papers/permit-permit.pdf").read_bytes() == outside[0].read_bytes()
