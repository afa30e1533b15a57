"""Later entries of every kind, from the command line to what everything reads from then on.

The demo job is sealed by hand. Where a test says nothing of pages, a few bytes stand for each document. That a
correction reaches every reader is one test with real documents, read by an outside PDF reader.
"""

import io
import shlex
import shutil
from collections.abc import Callable
from contextlib import redirect_stdout
from pathlib import Path

import pytest

import dossier.deeds.answering as answering
from dossier.archive.verify import verify
from dossier.cli import main
from dossier.deeds.editions import editions_of
from dossier.press import printing
from dossier.press.carried import attachments
from dossier.press.printing import Printer
from dossier.record.entry import entries_of, read_entry
from tests.conftest import Once, copy_office, judged
from tests.golden_text import page_texts
from tests.known_good import DEMO
from tests.mutations import mutated
from tests.sealed_jobs import seal_by_hand
from tests.test_documents import nonconforming

DEMO_JOB = "2026-041-plover-lane"
DAY = ("--today", "2026-11-12")
WHY = ("--why", "two digits read wrongly off the wrapper", "--found-by", "Ida Torvik")
LOT = ("--was", "0012346", "--is", "0012354", *WHY, *DAY)
MARK = r"--yes ([0-9a-f]{6}-[0-9a-f]{6})"

Run = tuple[int, str, str]


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a few bytes stand for every document of an entry."""
    monkeypatch.setattr(answering.Press, "pdf", lambda *_, **__: b"%PDF-1.7 a slip")
    monkeypatch.setattr(Printer, "edition", lambda *_: b"%PDF-1.7 a handover")
    monkeypatch.setattr(printing, "append_papers", lambda *_, **__: b"%PDF-1.7 a packet")


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Callable[..., Run]:
    """Return what runs one command line in this process: exit code, stdout, stderr."""

    def ran(*arguments: object) -> Run:
        capsys.readouterr()
        code = main([str(part) for part in arguments])
        told = capsys.readouterr()
        return code, told.out, told.err

    return ran


def folders(job: Path) -> list[str]:
    return sorted(path.name for path in (job / "sealed").iterdir())


# --- shown, then sealed --------------------------------------------------------------------------


def test_an_entry_is_shown_whole_and_sealed_only_with_yes(
    sealed: Path, quick: None, run: Callable[..., Run]
) -> None:
    code, out, _ = run("add", "correction", sealed, *LOT)
    assert (code, folders(sealed)) == (0, ["0001-closeout"])
    assert 'field: "deliveries.0.lines.0.lots.1.mark"' in out
    assert "ticket 55120, Fenwright 40, lot 0012346: mark “0012354”, not “0012346”" in out
    mark = out.split("--yes ")[1].strip()
    code, out, _ = run("add", "correction", sealed, *LOT, "--yes", mark)
    assert (code, folders(sealed)[1:]) == (0, ["0002-2026-11-12-correction"])
    assert verify(sealed).differences == ()
    entry = read_entry(sealed / "sealed" / folders(sealed)[1] / "data" / "entry.yaml").model
    assert entry is not None
    assert entry.correction is not None
    assert (entry.correction.was, entry.correction.right) == ("0012346", "0012354")
    documents = sealed / "sealed" / folders(sealed)[1] / "data" / "documents"
    names = ["handover-resale.pdf", "handover.pdf", "slip.pdf"]
    assert sorted(path.name for path in documents.iterdir()) == names


def test_what_was_shown_is_what_is_sealed(
    sealed: Path, quick: None, run: Callable[..., Run]
) -> None:
    _, out, _ = run("add", "correction", sealed, *LOT)
    mark = out.split("--yes ")[1].strip()
    other = [word.replace("read wrongly", "changed places") for word in LOT]
    code, _, err = run("add", "correction", sealed, *other, "--yes", mark)
    assert code == 4
    assert "not the one that was shown" in err
    run("add", "note", sealed, "--text", "called back", *DAY, "--yes")
    code, _, err = run("add", "correction", sealed, *LOT, "--yes", mark)
    assert code == 4
    assert "the newest is 0002-2026-11-12-note" in err
    assert folders(sealed) == ["0001-closeout", "0002-2026-11-12-note"]


def test_a_claim_and_a_sale_are_shown_first(sealed: Path, run: Callable[..., Run]) -> None:
    claim = ("--on", "2026-11-10", "--slope", "back", "--seen", "a ring", *DAY)
    code, out, _ = run("claim", sealed, *claim)
    assert code == 0
    assert "documents/claim-answer.pdf" in out
    assert "tell the company’s own liability insurer" in out
    code, out, _ = run("transfer", sealed, "--closing", "2026-11-10", "--buyer", "Tore", *DAY)
    assert code == 0
    assert "documents/handover-resale.pdf" in out
    assert folders(sealed) == ["0001-closeout"]


@pytest.mark.parametrize("yes", ["2026-041-plover-lane", "abc", "7c3cad_2ad615"])
def test_a_word_behind_yes_that_is_no_mark_is_refused(
    yes: str, sealed: Path, run: Callable[..., Run]
) -> None:
    code, _, err = run("add", "note", sealed, "--text", "called", *DAY, "--yes", yes)
    assert code == 2
    assert "is not the mark of something that was shown" in err
    assert folders(sealed) == ["0001-closeout"]


ADDED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("correction", LOT),
    ("late-paper", ("PAPER", "--kind", "letter", *DAY)),
    ("late-photo", ("PHOTO", "--phase", "field", "--slope", "front", *DAY)),
    (
        "registration",
        ("--confirmed", "2026-11-01", "--number", "TH-1", "--certificate", "PAPER", *DAY),
    ),
    ("repair", ("--slope", "back", "--what", "a pipe boot replaced", "--photo", "PHOTO", *DAY)),
    ("work-by-others", ("--by", "the owner's plumber", "--what", "a pipe", *DAY)),
    ("makers-inspection", ("--found", "blisters", "--decision", "none yet", *DAY)),
    ("note", ("--text", "the owner asks for a copy", *DAY)),
)
every_kind = pytest.mark.parametrize(("kind", "given"), ADDED, ids=[kind for kind, _ in ADDED])


def with_files(given: tuple[str, ...], folder: Path) -> list[str]:
    """Return the arguments with files of this test's own: a paper and a photo that open."""
    source = DEMO / DEMO_JOB
    names = {"PAPER": ("papers/completion.pdf", "came-late.pdf")}
    names["PHOTO"] = ("photos/field/front.jpg", "front-late.jpg")
    folder.mkdir(exist_ok=True)
    for file, name in names.values():
        shutil.copy(source / file, folder / name)
    return [str(folder / names[word][1]) if word in names else word for word in given]


@every_kind
def test_an_entry_of_each_kind_is_sealed_and_said_twice_is_refused(
    kind: str,
    given: tuple[str, ...],
    sealed: Path,
    quick: None,
    run: Callable[..., Run],
    tmp_path: Path,
) -> None:
    words = with_files(given, tmp_path / "files")
    code, _, err = run("add", kind, sealed, *words, "--yes")
    assert code == 0, err
    assert len(folders(sealed)) == 2
    assert verify(sealed).differences == ()
    code, _, err = run("add", kind, sealed, *words, "--noted-by", "Jens Aberg", "--yes")
    assert code in (3, 4)
    # A correction finds what it would change changed, a file its own name taken: each is a sentence.
    assert any(s in err for s in ("says just this already", "stands in no field", "there already"))
    assert len(folders(sealed)) == 2


def test_every_entry_is_chained_and_signed(
    sealed: Path, quick: None, run: Callable[..., Run], tmp_path: Path
) -> None:
    key = tmp_path / "keys" / "office"
    assert run("key", key)[0] == 0
    assert run("add", "correction", sealed, *LOT, "--sign", key, "--yes")[0] == 0
    claim = ("--on", "2026-11-10", "--slope", "back", "--seen", "a ring", *DAY)
    assert run("claim", sealed, *claim, "--sign", key, "--yes")[0] == 1
    _, out, _ = run("verify", sealed, "--key", f"{key}.pub")
    assert out.count("signed with this key") == 2


# --- what does not fit ---------------------------------------------------------------------------

FIELD = "--field"
REFUSED: tuple[tuple[tuple[str, ...], str], ...] = (
    (("correction", "--was", "0012347", "--is", "1", *WHY), "stands in no field"),
    (("correction", "--was", "R. Lindmark", "--is", "1", *WHY), "stands in 2 fields"),
    (("correction", FIELD, "permitt.number", "--is", "1", *WHY), "nearest known field is “permit”"),
    (("correction", FIELD, "slopes.left.pitch", "--is", "1", *WHY), "it has front and back"),
    (("correction", FIELD, "job.number", "--is", "1", *WHY), "sealed folders and every entry"),
    (("correction", FIELD, "slopes.0.pitch", "--was", "5:12", "--is", "7:12", *WHY), "“6:12”"),
    (("correction", FIELD, "slopes.0.pitch", "--is", "7:12", *WHY), "there stands “6:12”"),
    (("correction", FIELD, "slopes.0.pitch", "--was", "6:12", "--is", "7x12", *WHY), "a pitch such"),
    (("correction", FIELD, "slopes.0.pitch", "--was", "6:12", "--is", "6:12", *WHY), "already"),
    (("correction", FIELD, "slopes.0", "--was", "x", "--is", "y", *WHY), "slope front"),
    (("correction", FIELD, "permit.number.x", "--is", "y", *WHY), "is one value"),
    (("correction", FIELD, "warranties.0.sheet", "--was", "kestrelmoor-2026", "--is", "x-1", *WHY),
     "names the terms sheet “x-1”"),
    (("correction", FIELD, "photos.photos/field/none.jpg.phase", "--is", "deck", *WHY), "has no"),
    (("correction", "--was", "0012346", "--is", "0012354"), "needs “why”"),
    (("correction", "--was", "0012346", "--is", "0012354", *WHY, "--paper", "papers/x.pdf"),
     "not among what was sealed"),
    (("repair", "--slope", "left", "--what", "x"), "front and back"),
    (("repair", "--what", "x", "--on", "2026-11-13"), "which is after 2026-11-12"),
    (("registration", "--confirmed", "2026-11-01", "--level", "Gold"), "of no warranty on record"),
    (("late-photo", "PHOTO", "--phase", "feld"), "“feld”"),
    (("late-photo", "PHOTO"), "phase"),
    (("late-paper",), "Nothing is said of what happened"),
    (("late-paper", "nowhere.pdf"), "nowhere.pdf"),
    (("note",), "Nothing is said of what happened"),
)  # fmt: skip


@pytest.mark.parametrize(("words", "says"), REFUSED, ids=[f"{w[0]}-{s}" for w, s in REFUSED])
def test_what_does_not_fit_is_refused_in_a_sentence(
    words: tuple[str, ...],
    says: str,
    sealed: Path,
    quick: None,
    run: Callable[..., Run],
    tmp_path: Path,
) -> None:
    kind, *given = with_files(words, tmp_path / "files")
    code, _, err = run("add", kind, sealed, *given, *DAY, "--yes")
    assert code in (2, 3), err
    assert says in err
    assert err.startswith(("dossier: ", "Office")), err
    assert folders(sealed) == ["0001-closeout"]


def test_a_late_file_takes_no_sealed_one_s_place(
    sealed: Path, quick: None, run: Callable[..., Run], tmp_path: Path
) -> None:
    own = tmp_path / "Permit-R-2026-1187.PDF"
    shutil.copy(sealed / "papers" / "permit-R-2026-1187.pdf", own)
    code, _, err = run("add", "late-paper", sealed, own, *DAY, "--yes")
    assert code == 3
    assert "is there already" in err
    broken = tmp_path / "broken.pdf"
    broken.write_bytes(b"no paper at all")
    code, _, err = run("add", "late-paper", sealed, broken, *DAY, "--yes")
    assert code == 3
    assert "broken.pdf is text and not a paper" in err
    link = tmp_path / "link.pdf"
    link.symlink_to(own)
    assert run("add", "late-paper", sealed, link, *DAY, "--yes")[0] == 3
    assert folders(sealed) == ["0001-closeout"]
    assert not (sealed / ".dossier" / "late-files").exists()


def test_a_correction_is_answered_by_a_later_one(
    sealed: Path, quick: None, run: Callable[..., Run]
) -> None:
    run("add", "correction", sealed, *LOT, "--yes")
    back = ("--was", "0012354", "--is", "0012346", *WHY, *DAY)
    assert run("add", "correction", sealed, *back, "--yes")[0] == 0
    _, out, _ = run("lots", "0012354", "--office", sealed.parent)
    assert "0012354 (corrected to 0012346 2026-11-12)" in out
    _, out, _ = run("lots", "0012346", "--office", sealed.parent)
    assert "0012346 (0012354 until corrected 2026-11-12)" in out
    assert [one.number for one in editions_of(sealed)] == [1, 2, 3]
    assert verify(sealed).differences == ()


@pytest.mark.parametrize("seed", range(4))
def test_mutated_entries_are_taken_or_refused_in_a_sentence(
    seed: int, sealed: Path, quick: None, run: Callable[..., Run], tmp_path: Path
) -> None:
    run("add", "correction", sealed, *LOT, "--yes")
    good = (sealed / "sealed" / "0002-2026-11-12-correction" / "data" / "entry.yaml").read_bytes()
    for number in range(5):
        file = tmp_path / "entry.yaml"
        file.write_bytes(mutated(good, seed * 5 + number))
        code, _, err = run("add", "correction", sealed, "--take", file, *DAY)
        assert code in (0, 2, 3, 4), err


# --- everything reads the corrected state ----------------------------------------------------------


@pytest.fixture
def corrected(once: Once) -> Path:
    """Return a job with a lot put right, claimed for later and sold, all with real documents."""

    def fill(folder: Path) -> None:
        job = seal_by_hand(copy_office(folder, DEMO_JOB) / DEMO_JOB)
        with redirect_stdout(io.StringIO()):
            assert main(["add", "correction", str(job), *LOT, "--yes"]) == 0
            claim = ("--on", "2040-03-02", "--slope", "back", "--seen", "a ring")
            assert main(["claim", str(job), *claim, "--today", "2040-03-04", "--yes"]) == 1
            sale = ("--closing", "2041-06-17", "--buyer", "Tore Lindahl", "--today", "2041-06-20")
            assert main(["transfer", str(job), *sale, "--yes"]) == 0

    return once("a-lot-put-right", fill) / DEMO_JOB


def text_of(document: Path) -> str:
    return " ".join(" ".join(page_texts(document)).split())


PUT_RIGHT = "lot 0012346: mark “0012354”, not “0012346”"


def test_recall_claim_letter_and_the_homeowner_s_check_agree(
    corrected: Path, tmp_path: Path, run: Callable[..., Run]
) -> None:
    job = Path(shutil.copytree(corrected.parent, tmp_path / "office")) / DEMO_JOB
    for mark in ("0012346", "0012354"):
        code, out, _ = run("lots", mark, "--office", job.parent)
        assert code == 0
        assert f"Lot “{mark}”: 1 job." in out
        assert "corrected" in out
    _, out, _ = run("find", "0012354", "--office", job.parent)
    assert "2026-11-12 correction" in out
    for name in ("claim-answer", "maker-letter"):
        said = text_of(
            job / "sealed" / "0003-2040-03-02-claim" / "data" / "documents" / f"{name}.pdf"
        )
        assert PUT_RIGHT in said
        assert "Edition 2, corrected 12 November 2026" in said
    notices = list(
        (job / "sealed" / "0004-2041-06-17-sold" / "data" / "documents").glob("transfer*")
    )
    assert notices
    assert all(PUT_RIGHT in text_of(notice) for notice in notices)
    edition = job / "sealed" / "0002-2026-11-12-correction" / "data" / "documents"
    assert "homeowner edition 2, corrected 12 November 2026" in text_of(edition / "handover.pdf")
    assert b"0012354" in attachments(edition / "handover.pdf")["job.yaml"]
    for name in ("handover.pdf", "handover-resale.pdf"):
        code, out, _ = run("verify", job, "--against", edition / name)
        assert code == 0, out
        assert "edition 2 (correction, 12 November 2026)" in out
    _, out, err = run("check", job, "--today", "2041-07-01")
    assert "with 3 later entries since" in err
    assert "makes edition 2" in err


def test_an_older_edition_is_recognised_as_that_edition(
    tmp_path: Path, run: Callable[..., Run]
) -> None:
    job = copy_office(tmp_path / "office", DEMO_JOB) / DEMO_JOB
    assert run("seal", job, "--today", "2026-10-20")[0] in (0, 1)
    shutil.copy(job / "out" / "handover.pdf", tmp_path / "handover.pdf")
    assert run("add", "correction", job, *LOT, "--yes")[0] == 0
    code, out, _ = run("verify", job, "--against", tmp_path / "handover.pdf")
    assert code == 0, out
    assert "It is edition 1 (as it was closed)." in out
    assert "the newest is edition 2 (correction, 12 November 2026)" in out


def test_a_former_value_that_a_reader_may_not_see_is_in_no_page_of_his(
    sealed: Path, run: Callable[..., Run]
) -> None:
    for field, was, right, why in (
        ("owners.0.phone", "555-0141", "555-0142", "owner-token"),
        ("owners.0.name", "Marit Ekdahl", "Marit Ekdal", "name-token"),
        ("money.contract", "14,860.00", "14,961.07", "money-token"),
    ):
        more = ("--field", field, "--was", was, "--is", right, "--why", why, "--found-by", "finder")
        assert run("add", "correction", sealed, *more, *DAY, "--yes")[0] == 0
    folder = sealed / "sealed" / "0004-2026-11-12-correction" / "data" / "documents"
    for name, kept in (
        ("handover.pdf", ("14,961.07", "14961.07", "14,860.00", "money-token")),
        (
            "handover-resale.pdf",
            (
                *("555-0141", "555-0142", "14,961.07", "14,860.00", "-token", "finder"),
                # The surname as it was misspelt stands in what others typed, such as who approved a repair.
                *("Ekdahl", "Ekdal"),
            ),
        ),
    ):
        carried = b"".join(attachments(folder / name).values()).decode("utf-8", "replace")
        said = f"{text_of(folder / name)} {carried}"
        for token in kept:
            assert token not in said, (name, token)
    slip = text_of(folder / "slip.pdf")
    assert "for the company alone" in slip
    assert "14,961.07" in slip
    owners = sealed / "sealed" / "0002-2026-11-12-correction" / "data" / "documents"
    assert "for the company alone" not in text_of(owners / "slip.pdf")


def test_a_late_photo_and_paper_count_and_are_printed(
    sealed: Path, run: Callable[..., Run], tmp_path: Path
) -> None:
    photo = with_files(("PHOTO",), tmp_path / "files")[0]
    paper = with_files(("PAPER",), tmp_path / "files")[0]
    more = ("--phase", "field", "--slope", "front", "--caption", "six nails seen late", *DAY)
    assert run("add", "late-photo", sealed, photo, *more, "--yes")[0] == 0
    assert run("add", "late-paper", sealed, paper, "--kind", "letter", *DAY, "--yes")[0] == 0
    # A late paper may be what a correction stands on.
    back = ("--paper", "papers/came-late.pdf", *LOT)
    assert run("add", "correction", sealed, *back, "--yes")[0] == 0
    folder = sealed / "sealed" / "0004-2026-11-12-correction" / "data" / "documents"
    said = text_of(folder / "handover.pdf")
    assert "Six nails seen late" in said
    assert "edition 4, corrected 12 November 2026" in said
    carried = attachments(folder / "handover.pdf")
    assert b"photos/field/front-late.jpg" in carried["photos.yaml"]
    assert b"photos/field/front-late.jpg" in carried["photos.sha256"]
    assert b"papers/came-late.pdf" in carried["papers.sha256"]
    assert [one.number for one in editions_of(sealed)] == [1, 2, 3, 4]


def test_a_confirmed_registration_is_due_no_more(
    sealed: Path, quick: None, run: Callable[..., Run]
) -> None:
    due = ("due", "--office", sealed.parent, *DAY)
    assert "register Full Assembly" in run(*due)[1]
    more = ("--confirmed", "2026-11-01", "--number", "TH-88213", *DAY)
    assert run("add", "registration", sealed, *more, "--yes")[0] == 0
    assert "register Full Assembly" not in run(*due)[1]
    assert "REG-002" not in run("check", sealed, *DAY)[1]
    assert "confirmation TH-88213" in run("find", "TH-88213", "--office", sealed.parent)[1]


# --- the working files of a sealed job -------------------------------------------------------------


def test_a_change_typed_after_the_seal_is_named_with_the_line_that_corrects_it(
    sealed: Path, quick: None, run: Callable[..., Run]
) -> None:
    _, before, told = run("check", sealed, *DAY)
    assert "This job was sealed on 20 October 2026, with 0 later entries since." in told
    file = sealed / "job.yaml"
    file.write_text(file.read_text().replace("0012346 x 12", "0012354 x 12"))
    _, out, err = run("check", sealed, *DAY)
    assert out == before
    line = err.partition("To correct it: ")[2].splitlines()[0]
    assert "job.yaml has “0012354” for ticket 55120, Fenwright 40, lot 0012346: mark" in err
    words = shlex.split(line)
    assert words[0] == "dossier"
    words = [{"WHY": "a slip", "NAME": "Ida Torvik"}.get(word, word) for word in words[1:]]
    assert run(*words, *DAY, "--yes")[0] == 0
    assert "To correct it" not in run("check", sealed, *DAY)[2]
    assert run("build", sealed, *DAY)[0] in (0, 1)


def test_a_working_file_that_is_as_it_was_sealed_is_no_change(
    sealed: Path, quick: None, run: Callable[..., Run]
) -> None:
    run("add", "correction", sealed, *LOT, "--yes")
    _, _, err = run("check", sealed, *DAY)
    assert "To correct it" not in err


def test_a_working_record_that_cannot_be_read_changes_nothing(
    sealed: Path, run: Callable[..., Run]
) -> None:
    code, before, _ = run("check", sealed, *DAY)
    (sealed / "job.yaml").write_text("job: [\n")
    again, out, err = run("check", sealed, *DAY)
    assert (again, out) == (code, before)
    assert "That changes nothing: the sealed record is whole." in err


def test_files_that_came_after_the_seal_are_named_and_do_not_count(
    sealed: Path, run: Callable[..., Run]
) -> None:
    _, before, _ = run("check", sealed, *DAY)
    shutil.copy(sealed / "papers" / "contract.pdf", sealed / "papers" / "letter-2.pdf")
    (sealed / "photos" / "field" / "front.jpg").unlink()
    _, out, err = run("check", sealed, *DAY)
    assert out == before
    assert "papers/letter-2.pdf" in err
    assert "1 sealed file is no longer in photos/" in err


def test_gather_and_review_of_a_sealed_job_write_nothing(
    sealed: Path, quick: None, run: Callable[..., Run], tmp_path: Path
) -> None:
    photo = with_files(("PHOTO",), tmp_path / "files")[0]
    code, _, err = run("gather", sealed, photo, "--yes", *DAY)
    assert code == 4
    assert "was sealed on 20 October 2026" in err
    assert "dossier add late-photo" in err
    before = (sealed / "photos.yaml").read_bytes()
    look = ("--file", "photos/field/front.jpg", "--by", "Ida Torvik", "--on", "2026-11-10")
    code, _, err = run("review", sealed, *look, "--yes", *DAY)
    assert code == 4
    assert (sealed / "photos.yaml").read_bytes() == before
    line = err.partition("beside the seal: ")[2].splitlines()[0]
    words = [
        {"WHY": "a late look", "NAME": "Ida"}.get(word, word) for word in shlex.split(line)[1:]
    ]
    assert run(*words, *DAY, "--yes")[0] == 0
    assert "photos/field/front.jpg\n" not in run("review", sealed, *DAY)[1]


def test_fresh_sheets_are_refused_on_a_sealed_job(sealed: Path, run: Callable[..., Run]) -> None:
    code, _, err = run("build", sealed, "--fresh-sheets", *DAY)
    assert code == 2
    assert "what was promised counts" in err


# --- the slip --------------------------------------------------------------------------------------


@every_kind
def test_a_slip_is_one_conforming_page(
    kind: str,
    given: tuple[str, ...],
    sealed: Path,
    monkeypatch: pytest.MonkeyPatch,
    run: Callable[..., Run],
    tmp_path: Path,
) -> None:
    """Judges: qpdf; page-validation for PDF/A-3a (ISO 19005-3) and PDF/UA-1 (ISO 14289-1)."""
    monkeypatch.setattr(Printer, "edition", lambda *_: b"%PDF-1.7 a handover")
    monkeypatch.setattr(printing, "append_papers", lambda *_, **__: b"%PDF-1.7 a packet")
    long = "a very long text of many words " * 60 + "W" * 400
    words = with_files(given, tmp_path / "files")
    fills = ("--why", "--found-by", "--is", "--what", "--by", "--found", "--decision", "--text")
    free = [
        (long if before in fills else word)
        for before, word in zip(["", *words], words, strict=False)
    ]
    for number, arguments in enumerate((words, free)):
        if number:
            arguments = [*arguments, "--noted-by", long]
            arguments = [word.replace("came-late", "x" * 90) for word in arguments]
            shutil.copy(
                tmp_path / "files" / "came-late.pdf", tmp_path / "files" / f"{'x' * 90}.pdf"
            )
        job = Path(shutil.copytree(sealed.parent, tmp_path / f"office-{number}")) / DEMO_JOB
        code, _, err = run("add", kind, job, *arguments, "--yes")
        assert code == 0, err
        slip = next((job / "sealed").glob("0002-*/data/documents/slip.pdf"))
        judged("qpdf", "--check", slip)
        assert nonconforming(slip, "3a") == []
        assert nonconforming(slip, "ua1") == []
        pages = page_texts(slip)
        assert len(pages) == 1, pages
        assert "118 Plover Lane" in pages[0]


def test_entries_lie_in_order(sealed: Path, quick: None, run: Callable[..., Run]) -> None:
    for day in ("2026-11-10", "2026-11-09"):
        assert run("add", "note", sealed, "--text", "called", "--on", day, *DAY, "--yes")[0] == 0
    days = [read.model.on.isoformat() for _, read in entries_of(sealed) if read.model]
    assert days == ["2026-11-10", "2026-11-09"]
