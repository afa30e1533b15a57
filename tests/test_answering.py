"""Claims and sales of the demo jobs, from the command line to the sealed supplement.

The demo claim is a leak in year 14 at 2026-041; the demo sale is of 2026-052, and a leak in year 14 is then
answered for its second owner. Each is answered once a session; what spoils a job does so in a copy.
"""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

import dossier.deeds.answering as answering
import dossier.deeds.sealed_job as sealed_job
from dossier.archive.supplements import digest_of
from dossier.archive.verify import verify
from dossier.cli import main
from dossier.deeds.answering import NewEntry, prepare_claim, prepare_sale, seal_prepared
from dossier.deeds.entering import EntryAsked, new_entry
from dossier.deeds.sealed_job import SealedJob, open_sealed
from dossier.errors import DossierError
from dossier.reading.nodes import parse_tree
from dossier.record.entry import entry_in, read_entry
from dossier.render.pages import fill
from dossier.resources import resource
from dossier.words import EntryKind
from tests.aloud import faults_of, read_aloud
from tests.conftest import (
    LATER_ANSWERS,
    MADE_FROM,
    Once,
    copy_office,
    judged,
    no_clock,
    outside_module,
)
from tests.golden_text import against, compare, golden_form, page_texts
from tests.mutations import mutated
from tests.sealed_jobs import seal_by_hand
from tests.test_documents import blank_pages, nonconforming

LEAK, SOLD = "2026-041-plover-lane", "2026-052-mill-race-road"
GOLDEN = Path(__file__).parent / "golden"

TITLES = (
    *("Flashing at", "Pipes, vents", "Valley", "Ice at the eave", "Shingle lifted", "Exposed or"),
    *("Condensation", "Foot traffic", "The shingle itself"),
)
"""How each place of the fixed list begins in print."""

CLAIM = (
    *("--on", "2040-03-02", "--slope", "back", "--from-eave", "3 ft", "--from-rake", "6 ft"),
    *("--room", "the kitchen", "--seen", "a brown ring on the ceiling, two feet wide"),
    *("--seen-on", "2040-03-01", "--called-by", "Marit Ekdahl", "--phone", "555-0141"),
    *("--number", "C-1", "--today", "2040-03-04", "--noted-by", "Ida Torvik"),
    *("--own-insurer-told", "2040-03-03", "--notice-and-repair-checked", "2040-03-03"),
    *("--owner-told", "2040-03-02"),
)
SALE = (
    *("--closing", "2033-06-17", "--seller", "Tobias Rask", "--buyer", "Tore Lindahl"),
    *("--buyer-phone", "555-0177", "--notice-sent", "2033-06-20", "--today", "2033-06-25"),
)
AFTER_A_SALE = (
    *(
        "--on",
        "2040-03-02",
        "--slope",
        "main-front",
        "--seen",
        "water at the lamp",
        "--number",
        "C-2",
    ),
    *("--seen-on", "2040-03-01", "--called-by", "Tore Lindahl", "--phone", "555-0177"),
    *("--today", "2040-03-04", "--own-insurer-told", "2040-03-03", "--owner-told", "2040-03-02"),
    *("--notice-and-repair-checked", "2040-03-03"),
    *("--subcrew-insurer-told", "n/a, the sub-crew has closed"),
)

DOCUMENTS = LATER_ANSWERS
every_document = pytest.mark.parametrize(("job", "entry", "name"), DOCUMENTS)


@pytest.fixture
def answered(once: Once) -> Path:
    """Return an office in which the demo claim, the demo sale and a claim after it were answered."""

    def fill_office(folder: Path) -> None:
        copy_office(folder, LEAK, SOLD)
        for job in (LEAK, SOLD):
            seal_by_hand(folder / job)
        assert main(["claim", str(folder / LEAK), *CLAIM, "--yes"]) == 0
        assert main(["transfer", str(folder / SOLD), *SALE, "--yes"]) == 0
        assert main(["claim", str(folder / SOLD), *AFTER_A_SALE, "--yes"]) == 0

    return once("answered", fill_office)


def documents(office: Path, job: str, entry: str) -> Path:
    (folder,) = (office / job / "sealed").glob(f"{entry}-*")
    return folder / "data" / "documents"


def golden_name(entry: str, name: str) -> str:
    return f"entry-{entry}-{name}.txt"


@every_document
def test_a_document_says_what_it_said(
    job: str,
    entry: str,
    name: str,
    answered: Path,
    built: Callable[[str], Path],
    update_golden: bool,
) -> None:
    text = _said(documents(answered, job, entry) / f"{name}.pdf")
    if base := MADE_FROM.get(golden_name(entry, name).removesuffix(".txt")):
        text = against(_said(built(job) / f"{base}.pdf"), text, base)
    compare(text, GOLDEN / job / golden_name(entry, name), update=update_golden)


def _said(document: Path) -> str:
    # The digest covers every byte of the demo; a word elsewhere must not change these texts.
    return re.sub(r"\b[0-9a-f]{64}\b", "DIGEST", golden_form(page_texts(document)))


@every_document
def test_the_documents_are_sound_and_conform(
    job: str, entry: str, name: str, answered: Path
) -> None:
    """Judges: qpdf; page-validation for PDF/A-3a (ISO 19005-3) and PDF/UA-1 (ISO 14289-1)."""
    document = documents(answered, job, entry) / f"{name}.pdf"
    judged("qpdf", "--check", document)
    assert nonconforming(document, "3a") == []
    assert nonconforming(document, "ua1") == []
    assert blank_pages(document) == []
    assert faults_of(read_aloud(document.read_bytes())) == []


def test_these_are_the_documents_there_are(answered: Path) -> None:
    found = {path.stem for path in documents(answered, LEAK, "0002").iterdir()}
    assert found == {name for job, _, name in DOCUMENTS if job == LEAK}
    assert {p.stem for p in documents(answered, SOLD, "0002").iterdir()} == {
        "transfer-notice-tarnholt",
        "transfer-notice-ormskar-roofing",
        "handover-resale",
    }


@pytest.mark.parametrize("job", [LEAK, SOLD])
def test_the_chain_hangs_together_and_the_bags_are_valid(job: str, answered: Path) -> None:
    """Judges: our own verify, and the bagit library for each bag by itself."""
    assert verify(answered / job).differences == ()
    outside_module("bagit", "bagit")
    import bagit

    for bag in sorted((answered / job / "sealed").iterdir()):
        assert bagit.Bag(str(bag)).is_valid(), bag.name


@every_document
def test_every_document_prints_the_digest_of_the_folder_before(
    job: str, entry: str, name: str, answered: Path
) -> None:
    bags = sorted((answered / job / "sealed").iterdir())
    before = digest_of(bags[int(entry) - 2])
    text = "".join(page_texts(documents(answered, job, entry) / f"{name}.pdf"))
    printed = before in re.sub(r"\s", "", text)
    # A resale edition prints the digest of record, photos and papers in its place.
    assert printed is (name != "handover-resale")


def test_what_is_told_in_the_terminal_and_what_is_held(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = seal_by_hand(copy_office(tmp_path / "office", SOLD) / SOLD)
    given = [*AFTER_A_SALE[: AFTER_A_SALE.index("--own-insurer-told")]]
    assert main(["claim", str(job), *given, "--yes"]) == 1
    out = capsys.readouterr().out
    for held in (
        "own liability insurer",
        "sub-crew’s insurer",
        "notice-and-repair",
        "keep samples",
    ):
        assert held in out
    assert {path.name for path in documents(job.parent, SOLD, "0002").iterdir()} == {
        "claim-answer.pdf",
        "inspection-sheet.pdf",
        "maker-letter.pdf",
    }


def text_of(office: Path, job: str, entry: str, name: str) -> str:
    return " ".join(" ".join(page_texts(documents(office, job, entry) / f"{name}.pdf")).split())


def test_the_homeowner_is_given_facts_alone(answered: Path) -> None:
    own = text_of(answered, LEAK, "0002", "claim-answer")
    told = text_of(answered, LEAK, "0002", "claim-answer-homeowner")
    for office_only in (
        "What to look at on site",
        "Look first at",
        "555-0141",
        "Called by",
        "months (started",
    ):
        assert office_only in own, office_only
        assert office_only not in told, office_only
    for judged_only in ("Wind class for this site", "against the code"):
        assert judged_only in own, judged_only
        assert judged_only not in told, judged_only
    for word in ("likely", "probabl", "blame", "liab"):
        assert word not in told.lower(), word
    for text in (own, told):
        places = [text.index(f"{n}. {title}") for n, title in enumerate(TITLES, start=1)]
        assert places == sorted(places)


def test_no_former_owner_is_told_to_the_next(answered: Path) -> None:
    told = text_of(answered, SOLD, "0003", "claim-answer-homeowner")
    resale = text_of(answered, SOLD, "0002", "handover-resale")
    assert "not shown in this document" in told
    for private in ("Rask", "555-0163", "555-0164", "t.rask@example.com", "555-0177"):
        assert private not in told, private
        assert private not in resale, private
    # The maker has to know who holds the house, and who held it.
    letter = text_of(answered, SOLD, "0003", "maker-letter")
    assert "Tore Lindahl" in letter
    assert "Tobias Rask" in letter


def test_the_resale_edition_carries_the_last_days_of_this_sale(answered: Path) -> None:
    told = text_of(answered, SOLD, "0002", "handover-resale")
    # 45 days from 2033-06-17 end on 2033-08-01, 60 days on 2033-08-16; date arithmetic.
    assert "notice must be sent by 1 August 2033" in told
    assert "notice must be there by 16 August 2033" in told
    assert "Day of the closing" not in told


def test_no_money_is_in_any_of_them(answered: Path) -> None:
    for job, entry, name in DOCUMENTS:
        text = text_of(answered, job, entry, name)
        for amount in ("14,860", "15,052", "192.00", "19,420", "22,306", "1,443", "$"):
            assert amount not in text.replace("$50 as printed", ""), (name, amount)


def test_a_second_sale_counts_from_the_entries_before_it(
    sealed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The maker's levels pass once, by clauses 5.1 and 5.3 of the demo's terms."""
    first = (
        "--closing",
        "2030-06-03",
        "--buyer",
        "Tore Lindahl",
        "--notice-received",
        "2030-06-20",
    )
    assert main(["transfer", str(sealed), *first, "--today", "2030-06-21", "--yes"]) == 0
    out = capsys.readouterr().out
    assert "Shingle level (if it was not registered): passes on." in out
    again = ("--closing", "2033-06-06", "--buyer", "Sanna Holt", "--today", "2033-06-07")
    assert main(["transfer", str(sealed), *again, "--yes"]) == 0
    out = capsys.readouterr().out
    assert "Shingle level (if it was not registered): nothing of it is left after this sale." in out
    assert "notice must" not in out
    told = text_of(sealed.parent, LEAK, "0003", "handover-resale")
    assert "Nothing of it is left after this sale" in told


def test_a_mistyped_closing_is_put_right_by_a_later_entry(
    sealed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The wrong day is no sale any more: the maker's levels pass once, by clauses 5.1 and 5.3."""
    wrong = (
        "--closing",
        "2030-03-06",
        "--buyer",
        "Tore Lindahl",
        "--notice-received",
        "2030-06-20",
    )
    assert main(["transfer", str(sealed), *wrong, "--today", "2030-06-21", "--yes"]) == 0
    right = ("--closing", "2030-06-03", "--corrects", "2030-03-06", "--today", "2030-06-22")
    capsys.readouterr()
    assert main(["transfer", str(sealed), *right, "--yes"]) == 0
    assert "Shingle level (if it was not registered): passes on." in capsys.readouterr().out
    told = text_of(sealed.parent, LEAK, "0003", "transfer-notice-kestrelmoor")
    assert "New owner Tore Lindahl" in told
    assert "Closing 3 June 2030" in told
    assert "6 March 2030" not in told
    code, said = refusal(capsys, "transfer", sealed, *right)
    assert (code, "says just this already" in said) == (4, True)
    code, said = refusal(capsys, "transfer", sealed, *right, "--seller", "Marit Ekdahl")
    assert (code, "the entries before it tell of 2030-06-03" in said) == (3, True)


def without_block(file: Path, name: str) -> None:
    """Take one field of the first level, with all below it, out of a file."""
    text = file.read_text("utf-8")
    left = re.sub(rf"^{name}:.*\n(?:[ \-#].*\n|\n)*", "", text, flags=re.M)
    assert left != text
    file.write_text(left)


def test_a_sale_of_a_roof_without_any_coverage_on_record_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = copy_office(tmp_path / "office", LEAK) / LEAK
    without_block(job / "job.yaml", "warranties")
    without_block(job.parent / "company.yaml", "workmanship")
    seal_by_hand(job)
    assert (
        main(["transfer", str(job), "--closing", "2033-06-17", "--today", "2033-06-20", "--yes"])
        == 1
    )
    assert "What passes cannot be told" in capsys.readouterr().out
    (resale,) = documents(job.parent, LEAK, "0002").iterdir()
    assert resale.name == "handover-resale.pdf"
    assert blank_pages(resale) == []


def test_each_desk_has_a_notice_of_its_own_for_every_coverage(sealed: Path) -> None:
    sale = ("--closing", "2033-06-17", "--buyer", "Tore Lindahl", "--today", "2033-06-20")
    assert main(["transfer", str(sealed), *sale, "--yes"]) == 0
    maker = text_of(sealed.parent, LEAK, "0002", "transfer-notice-kestrelmoor")
    own = text_of(sealed.parent, LEAK, "0002", "transfer-notice-ormskar-roofing")
    assert (
        "Coverage Full Assembly level, only if the maker has it registered; Shingle level, if it was not "
        "registered" in maker
    )
    assert "Ormskar workmanship coverage" not in maker
    assert "Full Assembly" not in own
    for told in (maker, own):
        pages, last = re.findall(r"Page (\d+) of \d+", told), re.findall(r"of (\d+)", told)[-1]
        assert pages[-1] == last


def test_the_resale_edition_of_a_sale_denies_no_level_that_its_notice_keeps_open(
    sealed: Path,
) -> None:
    """The demo job has no confirmation on record; its last day to register was 20 November 2026."""
    sale = ("--closing", "2033-06-17", "--buyer", "Tore Lindahl", "--today", "2033-06-20")
    assert main(["transfer", str(sealed), *sale, "--yes"]) == 0
    told = text_of(sealed.parent, LEAK, "0002", "handover-resale")
    for denied in ("can no longer be had", "and not the Full Assembly level", "holds now is"):
        assert denied not in told, denied
    assert "Full Assembly level (only if the maker has it registered): " in told
    assert "Shingle level (if it was not registered): " in told
    assert "Ask Kestrelmoor whether it has this address registered." in told
    # A sheet for the clause of either level, 60 days from 2033-06-17 being 2033-08-16.
    assert "Full Assembly level: notice must be there by 16 August 2033 (clause 5.3)" in told
    assert "Shingle level: notice must be there by 16 August 2033 (clause 5.1)" in told
    assert "Notice of the sale by 16 August 2033" in told
    # Labour of the Shingle level ended in 2031, before the closing (clause 2.2: five years from 2026-09-21).
    sheet = told[told.index("Transfer sheet") : told.index("Care and cautions", 9000)]
    assert "21 September 2031" not in sheet


def test_an_entry_is_bagged_on_the_day_of_its_run(answered: Path) -> None:
    """Bagging-Date: the day that the content was prepared for transfer (RFC 8493, section 2.2.2)."""
    (folder,) = (answered / SOLD / "sealed").glob("0002-*")
    info = dict(line.split(": ", 1) for line in (folder / "bag-info.txt").read_text().splitlines())
    assert info["Bagging-Date"] == "2033-06-25"
    assert info["Event-Date"] == "2033-06-17"
    assert info["Source-Organization"] == "Ormskar Roofing"


def test_the_same_claim_gives_the_same_bytes(tmp_path: Path) -> None:
    made = []
    for place in ("one", "two"):
        job = seal_by_hand(copy_office(tmp_path / place, LEAK) / LEAK)
        assert main(["claim", str(job), *CLAIM, "--yes"]) == 0
        made.append(digest_of(job / "sealed" / "0002-2040-03-02-claim"))
    assert made[0] == made[1]


# --- what is refused, in a sentence ---------------------------------------------------------------


def refusal(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str]:
    code = main([str(part) for part in arguments])
    return code, capsys.readouterr().err


def test_a_job_that_is_not_sealed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = copy_office(tmp_path / "office", LEAK) / LEAK
    code, said = refusal(capsys, "claim", job, *CLAIM)
    assert code == 3
    assert "dossier seal JOB" in said


def test_a_sealed_file_that_was_changed(sealed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = sealed / "sealed" / "0001-closeout" / "data" / "job.yaml"
    record.write_text(
        record.read_text("utf-8").replace("nails_per_shingle: 6", "nails_per_shingle: 4")
    )
    code, said = refusal(capsys, "claim", sealed, *CLAIM)
    assert code == 3
    assert "data/job.yaml" in said
    assert not list((sealed / "sealed").glob("0002*"))
    assert main(["claim", str(sealed), *CLAIM, "--as-found", "--yes"]) == 0
    told = text_of(sealed.parent, LEAK, "0002", "claim-answer-homeowner")
    assert "was changed since" in told
    assert "was changed since" in text_of(sealed.parent, LEAK, "0002", "maker-letter")


@pytest.mark.parametrize(
    ("command", "given", "code", "says"),
    [
        ("claim", (), 2, "Nothing is said of what happened"),
        ("claim", ("--slope", "bock", "--on", "2026-10-21"), 3, "front and back"),
        (
            "claim",
            ("--slope", "back", "--on", "2040-03-05"),
            3,
            "gives on as 2040-03-05, which is after",
        ),
        ("claim", ("--seen-on", "2040-03-05", "--on", "2026-10-21"), 3, "gives seen_on as"),
        ("transfer", ("--closing", "2036-06-17"), 3, "gives on as 2036-06-17, which is after"),
        ("transfer", ("--closing", "2026-11-02", "--corrects", "2026-11-01"), 3, "tell of no sale"),
        ("claim", ("--slope", "back", "--on", "2040-13-02"), 3, "no calendar has"),
        ("claim", ("--slope", "back"), 3, "“on” is blank or not there"),
        ("claim", ("--from-eave", "-3 ft", "--on", "2040-03-02"), 3, "from_eave_ft"),
        ("transfer", ("--buyer", "Tore Lindahl"), 3, "“on” is blank or not there"),
        ("transfer", ("--closing", "soon"), 3, "“soon”"),
        ("transfer", ("--closing", "2033-06-17", "--buyer-kind", "bank"), 3, "living there"),
        ("claim", ("--slope", "back", "--take", "x.yaml"), 2, "both --take and"),
    ],
)
def test_what_cannot_be_an_entry(
    command: str,
    given: tuple[str, ...],
    code: int,
    says: str,
    sealed: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    today = () if not given else ("--today", "2033-06-16")
    got, said = refusal(capsys, command, sealed, *given, *today)
    assert got == code, said
    assert says in said
    assert not list((sealed / "sealed").glob("0002*"))


def test_an_entry_of_another_job_or_kind(sealed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = sealed / "claim.yaml"
    blank = resource("start", "claim.yaml").read_text("utf-8")
    filled = re.sub(r"^job:", "job: 2026-052", blank, flags=re.M)
    for field in ("on", "noted_on"):
        filled = re.sub(rf"^{field}:", f"{field}: 2040-03-02", filled, flags=re.M)
    file.write_text(
        filled.replace("noted_by:", "noted_by: Ida Torvik").replace("  slope:", "  slope: back")
    )
    code, said = refusal(capsys, "claim", sealed, "--take", file)
    assert (code, "is for job 2026-052" in said) == (3, True)
    code, said = refusal(capsys, "transfer", sealed, "--take", file)
    assert (code, "of the kind “claim”" in said) == (3, True)
    file.write_text(file.read_text("utf-8").replace("job: 2026-052", "job: 2026-041"))
    assert main(["claim", str(sealed), "--take", str(file), "--today", "2040-03-04", "--yes"]) == 1
    kept = next((sealed / "sealed").glob("0002*")) / "data" / "entry.yaml"
    assert kept.read_bytes() == file.read_bytes(), "a typed entry is kept with its comments"


@pytest.mark.parametrize(("name", "kind"), [("claim.yaml", "claim"), ("sale.yaml", "sold")])
def test_a_blank_names_every_field_and_nothing_else(
    name: str, kind: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["claim" if kind == "claim" else "transfer", "--blank"]) == 0
    printed = capsys.readouterr().out
    assert printed == resource("start", name).read_text("utf-8")
    # Blank needed fields are the only fault: no field is misspelt.
    read = entry_in(parse_tree(printed.encode(), name))
    assert {item.where.field for item in read.items} == {"job", "on", "noted_by", "noted_on"}


def test_pictures_that_came_with_the_call_go_along(sealed: Path) -> None:
    (sealed / "files").mkdir()
    photo = next((sealed / "photos" / "deck").glob("*.jpg"))
    (sealed / "files" / "ceiling.jpg").write_bytes(photo.read_bytes())
    file = sealed / "claim.yaml"
    file.write_text(
        "entry: 1\njob: 2026-041\nkind: claim\non: 2040-03-02\nnoted_by: Ida Torvik\nnoted_on: 2040-03-02\n"
        "claim:\n  slope: back\n  photos: files/ceiling.jpg\n"
    )
    assert main(["claim", str(sealed), "--take", str(file), "--today", "2040-03-04", "--yes"]) == 1
    bag = next((sealed / "sealed").glob("0002*"))
    assert (bag / "data" / "files" / "ceiling.jpg").read_bytes() == photo.read_bytes()
    listed = judged("pdfdetach", "-list", bag / "data" / "documents" / "maker-letter.pdf")
    assert "damage-1.jpg" in listed
    assert "ticket-55120.pdf" in listed
    told = text_of(sealed.parent, LEAK, "0002", "maker-letter")
    for name in re.findall(r"\S+\.(?:pdf|jpg)", listed):
        assert name in told, "every file that rides inside is listed as enclosed"
    assert "invoice" not in listed
    assert "ceiling.jpg" in text_of(sealed.parent, LEAK, "0002", "claim-answer")


def test_a_claim_leaves_what_was_sealed_alone(sealed: Path) -> None:
    before = {p: p.read_bytes() for p in (sealed / "sealed").rglob("*") if p.is_file()}
    assert main(["claim", str(sealed), *CLAIM, "--yes"]) == 0
    for path, data in before.items():
        assert path.read_bytes() == data
    inside = {p for p in (sealed / "sealed" / "0001-closeout").rglob("*") if p.is_file()}
    assert inside == {path for path in before if "0001-closeout" in path.parts}


# --- mutated entries and records ------------------------------------------------------------------

ENTRY = b"""entry: 1
job: 2026-041
kind: claim
on: 2040-03-02
noted_by: Ida Torvik
noted_on: 2040-03-02
claim:
  number: C-1
  slope: back
  from_eave_ft: 3 ft
  from_rake_ft: 6 ft
  room_below: kitchen
  seen: a brown ring
  seen_on: 2040-03-01
  called_by: Marit Ekdahl
  phone: 555-0141
  own_insurer_told_on: 2040-03-03
  notice_and_repair_checked_on: 2040-03-03
  owner_told_on: 2040-03-02
"""


def sentence(error: DossierError) -> int:
    """Return 1 for a refusal that says what was found and what to do."""
    assert error.message.strip()
    assert error.remedy.strip()
    return 1


@pytest.fixture
def quick(answered: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Fill the templates without laying them out, and seal nothing: 200 answers in seconds.

    It asks for `answered` so that the office is answered before anything is put in place of sealing: a worker
    that came here first would otherwise leave all others an office in which nothing was sealed.
    """

    def pdf(self: object, pages: object, attached: object = ()) -> bytes:
        look = self._look  # type: ignore[attr-defined]
        return fill(pages.template, {"doc": pages, "look": look}).encode()  # type: ignore[attr-defined]

    monkeypatch.setattr(answering.Press, "pdf", pdf)
    monkeypatch.setattr(answering, "add_supplement", lambda *_, **__: Path("sealed"))
    monkeypatch.setattr(answering, "_resale", lambda *_: b"")


@pytest.fixture
def opened(answered: Path) -> Callable[[str], SealedJob]:
    """Return what opens one of the answered jobs."""
    return lambda job: open_sealed(answered / job, no_clock, date(2040, 3, 4))


def test_mutated_entries_are_answered_or_refused_in_a_sentence(
    quick: None, opened: Callable[[str], SealedJob], tmp_path: Path
) -> None:
    job = opened(LEAK)
    answers, refused = 0, 0
    for seed in range(200):
        file = tmp_path / "entry.yaml"
        file.write_bytes(mutated(ENTRY, seed))
        try:
            seal_prepared(
                prepare_claim(job, new_entry(EntryAsked(job.folder, EntryKind.CLAIM, file), job))
            )
            answers += 1
        except DossierError as error:
            refused += sentence(error)
    assert answers > 20
    assert refused > 40


def test_mutated_records_are_answered_or_refused_in_a_sentence(
    quick: None, answered: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The sealed record itself is what changes here; photos and papers are taken as measured before."""
    whole = open_sealed(answered / LEAK, no_clock, date(2040, 3, 4))
    monkeypatch.setattr(sealed_job, "measure", lambda *_, **__: whole.facts)
    monkeypatch.setattr(sealed_job, "_as_sealed", lambda *_: (("unread",), False))
    job = copy_office(tmp_path / "office", LEAK) / LEAK
    seal_by_hand(job)
    record = job / "sealed" / "0001-closeout" / "data" / "job.yaml"
    data = record.read_bytes()
    entry = entry_in(parse_tree(ENTRY, "entry.yaml")).model
    assert entry is not None
    assert entry.claim is not None
    answers, refused = 0, 0
    for seed in range(200):
        record.write_bytes(mutated(data, seed))
        try:
            found = open_sealed(job, no_clock, date(2040, 3, 4))
            labels = [slope.label for slope in found.case.job.slopes]
            claim = entry.claim.model_copy(update={"slope": labels[0] if labels else None})
            number = found.case.job.job.number
            one = entry.model_copy(update={"claim": claim, "job": number})
            seal_prepared(prepare_claim(found, NewEntry(one, ENTRY, {})))
            answers += 1
        except DossierError as error:
            refused += sentence(error)
    assert answers > 20
    assert refused > 40


def test_mutated_sales_are_answered_or_refused_in_a_sentence(
    quick: None, opened: Callable[[str], SealedJob], answered: Path, tmp_path: Path
) -> None:
    job = replace(opened(SOLD), entries=())
    (folder,) = (answered / SOLD / "sealed").glob("0002-*")
    sale = (folder / "data" / "entry.yaml").read_bytes()
    assert read_entry(folder / "data" / "entry.yaml").model is not None
    answers, refused = 0, 0
    for seed in range(100):
        file = tmp_path / "entry.yaml"
        file.write_bytes(mutated(sale, seed))
        try:
            seal_prepared(
                prepare_sale(job, new_entry(EntryAsked(job.folder, EntryKind.SOLD, file), job))
            )
            answers += 1
        except DossierError as error:
            refused += sentence(error)
    assert answers > 10
    assert refused > 20
