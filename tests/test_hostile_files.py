"""Files nobody should have put there: unreadable, nameless, no picture at all. A sentence, and no traceback.

Permissions are tried as another user where this one may read everything; elsewhere the system's refusal
is played.
"""

import errno
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.errors import CannotWrite, ExitCode, UnreadableInput
from dossier.evidence import list_files, measure
from dossier.evidence.files import printable
from dossier.evidence.logo import logo_fault
from dossier.pipeline import check
from dossier.press.carried import record_digest
from dossier.punchlist import Where
from dossier.record import read as record_read
from dossier.record.read import read_photo_list
from dossier.render import engine
from dossier.steps.asked import Asked
from dossier.terms import read as terms_read
from dossier.terms.read import find_office, need_office, read_catalogues, read_locality
from tests.conftest import bare_job, copy_office, no_clock, pdf_with_text
from tests.known_good import DEMO, GOOD_JOB, TODAY

DAY = ["--today", TODAY.isoformat()]
NAMELESS = b"front-caf\xe9.jpg"
needs_any_name = pytest.mark.skipif(
    sys.platform == "darwin", reason="this file system takes only names that are text"
)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return the known-good record, without its photos, in an office of its own."""
    return bare_job(tmp_path / "office")


def _nameless(job: Path) -> None:
    for folder in (b"photos/field", b"papers"):
        place = os.path.join(os.fsencode(job), folder)  # noqa: PTH118 - a Path cannot hold bytes.
        os.makedirs(place)  # noqa: PTH103
        with open(os.path.join(place, NAMELESS), "wb") as file:  # noqa: PTH118, PTH123
            file.write(b"x")
    (job / "photos/field" / "line\nbreak.jpg").write_bytes(b"x")
    (job / "photos/field" / "front.jpg").write_bytes(b"x")


# --- names that are no text ----------------------------------------------------------------------


@needs_any_name
def test_a_name_that_is_no_text_is_a_stray_to_be_renamed(job: Path) -> None:
    _nameless(job)
    assert list_files(job, "photos") == ("photos/field/front.jpg",)
    assert list_files(job, "papers") == ()
    facts = measure(job, list_files(job, "photos"), ())
    assert facts.strays == (
        "papers/front-caf[byte E9].jpg (to be renamed: its name is not plain text)",
        "photos/field/front-caf[byte E9].jpg (to be renamed: its name is not plain text)",
        "photos/field/line[U+000A]break.jpg (to be renamed: its name is not plain text)",
    )
    assert set(facts.photos) == {"photos/field/front.jpg"}


def test_the_code_of_a_byte_is_that_of_pep_383() -> None:
    """Python stands in for byte 0xE9 with U+DCE9 (PEP 383); other letters stay what they are."""
    assert printable(os.fsdecode(b"a\xe9\x1b")) == "a[byte E9][U+001B]"
    assert printable("é 屋根 🏠") == "é 屋根 🏠"


@needs_any_name
@pytest.mark.parametrize("command", ["check", "build"])
def test_such_a_file_stops_neither_check_nor_build(
    job: Path, command: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _nameless(job)
    monkeypatch.setattr(
        "dossier.press.printing.Printer.files",
        lambda self: {"a.txt": record_digest(self.case, self.facts).encode()},
    )
    assert main([command, str(job), *DAY]) == 1
    out = capsys.readouterr().out
    out.encode("utf-8")
    if command == "check":
        assert "front-caf[byte E9].jpg (to be renamed" in " ".join(out.split())


@needs_any_name
def test_a_sheet_whose_name_is_no_text_is_an_item(job: Path) -> None:
    place = os.path.join(os.fsencode(job.parent), b"terms", b"x\xe9.catalogue.yaml")  # noqa: PTH118
    with open(place, "wb") as file:  # noqa: PTH123
        file.write(b"maker: x\n")
    (item,) = [item for read in read_catalogues(job.parent) for item in read.items]
    assert str(item.says) == r"terms/x\udce9.catalogue.yaml has a name that is not UTF-8."
    str(item.says).encode("utf-8")


# --- a terminal that is not UTF-8 ----------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_a_terminal_of_another_encoding_gets_every_sentence(encoding: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "dossier.cli", "explain", "SHP-014"],
        env={**os.environ, "PYTHONIOENCODING": f"{encoding}:strict", "PYTHONUTF8": "0"},
        capture_output=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")
    shown = {"ascii": rb"\u201cDoes not apply\u201d", "cp1252": b"\x93Does not apply\x94"}
    assert shown.get(encoding, "“Does not apply”".encode()) in done.stdout


# --- the company's logo --------------------------------------------------------------------------


def _as_link(logo: Path) -> None:
    real = logo.with_name("real.png")
    logo.rename(real)
    logo.symlink_to(real)


def _as_folder(logo: Path) -> None:
    logo.unlink()
    logo.mkdir()


BAD_LOGOS: dict[str, Callable[[Path], object]] = {
    "missing": Path.unlink,
    "folder": _as_folder,
    "text": lambda logo: logo.write_text("a logo"),
    "truncated": lambda logo: logo.write_bytes(logo.read_bytes()[:200]),
    "link": _as_link,
    "empty": lambda logo: logo.write_bytes(b""),
}


@pytest.mark.parametrize("how", BAD_LOGOS)
def test_a_logo_that_does_not_open_is_left_out_and_named(
    job: Path, how: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    BAD_LOGOS[how](job.parent / "logo.png")
    monkeypatch.setattr(
        "dossier.press.printing.Printer.files", lambda self: {"a.txt": self._punch_list()}
    )
    assert main(["build", str(job), *DAY]) == 1
    err = capsys.readouterr().err
    assert "Documents are printed without the company's logo: logo.png " in err
    assert "Traceback" not in err
    assert (job / "out" / "a.txt").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("typed", ["../logo.png", "/etc/hostname", "logo.png/x", "."])
def test_a_logo_outside_the_office_is_never_opened(job: Path, typed: str) -> None:
    assert logo_fault(job.parent, typed) is not None


def test_a_good_logo_and_none_are_no_fault() -> None:
    assert logo_fault(DEMO, "logo.png") is None
    assert logo_fault(DEMO, None) is None


# --- folders that may not be read ----------------------------------------------------------------


def _barred(*_: object, **__: object) -> None:
    raise PermissionError(13, "Permission denied")


def test_an_office_folder_that_may_not_be_listed_is_an_item(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(terms_read.os, "scandir", _barred)
    (one,) = [item for read in read_catalogues(job.parent) for item in read.items]
    assert str(one.says) == "The folder terms/ of the office may not be read by this user."
    (two,) = read_locality(job.parent, "vintermark-2026", Where("job.yaml", 3)).items
    assert str(two.says) == "The folder localities/ of the office may not be read by this user."


def test_what_several_seek_in_one_closed_folder_is_said_once(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(terms_read.os, "scandir", _barred)
    checked = check(Asked(job, today=TODAY), no_clock)
    assert sorted(item.where.file for item in checked.punch_list) == ["localities", "terms"]


def test_a_photo_list_that_may_not_be_looked_at_is_not_taken_for_none(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(record_read.os, "lstat", _barred)
    (item,) = read_photo_list(job).items
    assert item.where.file == "photos.yaml"


def test_an_office_above_a_barred_folder_is_not_found(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Path, "is_file", _barred)
    assert find_office(job) is None
    with pytest.raises(UnreadableInput, match="cannot be looked at: Permission denied"):
        need_office(job, job.parent)


def test_a_job_folder_that_may_not_be_looked_at_is_a_sentence(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Path, "is_dir", _barred)
    with pytest.raises(UnreadableInput, match="cannot be looked at: Permission denied"):
        check(Asked(job, today=TODAY), no_clock)


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only the superuser can be another user"
)
@pytest.mark.parametrize(
    ("closed", "code", "says"),
    [
        ("localities", 3, "localities/ of the office may not be read"),
        ("terms", 3, "terms/ of the office may not be read"),
        ("job", 3, "job.yaml may not be read"),
        ("job/photos.yaml", 3, "photos.yaml may not be read"),
        ("job/photos", 1, "Not filed: photos."),
        ("company.yaml", 3, "company.yaml may not be read"),
    ],
)
def test_another_user_is_told_what_he_may_not_read(closed: str, code: int, says: str) -> None:
    nobody = 65534
    # Folders of pytest's own are closed to others on the way there.
    with tempfile.TemporaryDirectory() as open_to_all:
        Path(open_to_all).chmod(0o755)
        office = copy_office(Path(open_to_all) / "office")
        job = office / "job"
        (job / "photos").mkdir(parents=True)
        (job / "photos.yaml").write_text("photos: []\n")
        shutil.copy(GOOD_JOB / "job.yaml", job / "job.yaml")
        for path in (office, *office.rglob("*")):
            os.chown(path, nobody, nobody)
        (office / closed).chmod(0)
        # All is imported beforehand, since that user may not read the interpreter's own files either.
        script = (
            f"import os, sys; sys.path[:] = {sys.path!r}\n"
            "from dossier.cli import main\n"
            f"main(['check', {str(GOOD_JOB)!r}, *{DAY!r}]); print('----', flush=True)\n"
            f"os.setgid({nobody}); os.setuid({nobody})\n"
            f"sys.exit(main(['check', {str(job)!r}, *{DAY!r}]))\n"
        )
        done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=False)
    shown = " ".join(done.stdout.decode().partition("----")[2].split())
    assert done.returncode == code, shown + done.stderr.decode()
    assert says in shown
    assert "Traceback" not in done.stderr.decode()
    if code == 3 and closed != "job":
        assert shown.count("may not be read") == 1


# --- places that lead elsewhere, and a full disk --------------------------------------------------


def test_a_linked_folder_for_cache_and_lock_is_not_followed(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (job / ".dossier").symlink_to(elsewhere)
    assert main(["build", str(job), *DAY]) == ExitCode.CANNOT_WRITE
    assert ".dossier is a link" in capsys.readouterr().err
    assert main(["check", str(job), *DAY]) == ExitCode.ITEMS_HOLD
    assert list(elsewhere.iterdir()) == []
    assert not (job / "out").exists()


@pytest.mark.parametrize("command", [["build", "JOB", "--out"], ["start"], ["key"]])
def test_a_way_through_a_folder_that_is_not_there_makes_nothing(
    command: list[str],
    job: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    monkeypatch.chdir(inside)
    words = [str(job) if word == "JOB" else word for word in command]
    with pytest.raises(SystemExit) as ended:
        main([*words, "a/../../x"])
    assert ended.value.code == ExitCode.WRONG_COMMAND
    assert "leads back out of a, which is not there" in capsys.readouterr().err
    assert list(inside.iterdir()) == []
    assert not (tmp_path / "x").exists()


def _full(*_: object, **__: object) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_full_folder_for_temporary_files_is_a_sentence(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import weasyprint.text.fonts

    monkeypatch.setattr(weasyprint.text.fonts, "FontConfiguration", _full)
    assert main(["build", str(job), *DAY]) == ExitCode.CANNOT_WRITE
    assert "folder for temporary files could not be written" in capsys.readouterr().err
    assert not (job / "out").exists()


def test_a_full_folder_before_the_layout_program_is_loaded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tempfile, "mkdtemp", _full)
    with pytest.raises(CannotWrite, match="No space left"):
        engine._font_configuration()


def test_the_pdf_reader_s_own_remarks_stay_off_the_screen(
    job: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    (job / "papers").mkdir()
    # Its table of objects is wrong, which the reader mends and remarks upon.
    odd = pdf_with_text("Permit card").replace(b"0000000009 00000 n", b"0000000019 00000 n")
    odd += b"%%EOF\n%%EOF\n"
    (job / "papers" / "permit.pdf").write_bytes(odd)
    main(["build", str(job), *DAY])
    main(["recover", str(job / "papers" / "permit.pdf"), str(job.parent / "new")])
    said = capfd.readouterr()
    assert "permit.pdf" in said.out + said.err
    for remark in (
        "Ignoring wrong pointing",
        "incorrect startxref",
        "Multiple definitions",
        "pypdf",
    ):
        assert remark not in said.err
