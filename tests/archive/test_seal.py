"""A closing is sealed whole, from one state, by outside judges valid; or not at all, with a sentence."""

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import bagit
import pytest

from dossier.archive import bags as bags_module
from dossier.archive.verify import verify
from dossier.cli import main
from dossier.deeds.sealing import Sealing, seal
from dossier.disk.outputs import job_lock
from dossier.errors import CannotWrite, JobTaken
from dossier.press.printing import Printer
from dossier.steps.asked import Asked
from tests.archive.test_supplements import tree
from tests.conftest import judged, no_clock
from tests.known_good import TODAY

At = Callable[[str], None]


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Print documents of a few bytes, since what is in them is not the question here."""
    monkeypatch.setattr(Printer, "files", lambda _: {"handover.pdf": b"%PDF-handover"})


def sealed(job: Path, *, incomplete: bool = True, at: At = lambda _: None) -> Sealing:
    """Seal a job as it is on the tests' own day."""
    return seal(Asked(job, today=TODAY), no_clock, incomplete=incomplete, at=at)


def test_a_closing_is_a_bag_by_the_outside_judges(sealed_demo: Path) -> None:
    bag = sealed_demo / "sealed" / "0001-closeout"
    bagit.Bag(str(bag)).validate()
    judged("sha256sum", "--strict", "-c", "manifest-sha256.txt", cwd=bag)
    judged("sha256sum", "--strict", "-c", "tagmanifest-sha256.txt", cwd=bag)
    assert verify(sealed_demo).differences == ()


def test_a_closing_holds_the_whole_job_folder(sealed_demo: Path) -> None:
    held = tree(sealed_demo / "sealed" / "0001-closeout" / "data")
    job = {name: data for name, data in tree(sealed_demo).items() if name.split("/")[0] != "sealed"}
    assert held == job
    for name in ("job.yaml", "photos.yaml", "out/handover.pdf", "as-built/company.yaml"):
        assert held[name]
    assert any(name.startswith("papers/") for name in held)
    assert any(name.startswith("photos/") for name in held)


def test_a_job_is_sealed_once(sealed_demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = tree(sealed_demo)
    assert main(["seal", str(sealed_demo), "--today", "2026-10-20"]) == 4
    assert "sealed already, in sealed/0001-closeout, and is sealed once" in capsys.readouterr().err
    assert tree(sealed_demo) == before


def test_a_held_handover_is_not_sealed(
    bare_office: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    before = tree(bare_office)
    assert main(["seal", str(bare_office), "--today", "2026-10-20"]) == 1
    out = capsys.readouterr().out
    assert "1 item holds the handover, and nothing was sealed" in out
    assert "--incomplete" in out
    assert tree(bare_office) == before


def test_an_incomplete_seal_says_so_and_names_the_items(bare_office: Path, quick: None) -> None:
    done = sealed(bare_office)
    assert done.folder is not None
    info = bagit.Bag(str(done.folder)).info
    assert info["Sealed-Incomplete"] == "yes, 1 item held the handover"
    [item] = done.held
    assert info["Handover-Held-By"] == f"{item.rule} {str(item.says)!s}"


def test_an_unreadable_record_is_not_sealed_at_all(
    bare_office: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    (bare_office / "job.yaml").write_text("record: 1\njob:\n  nummer: 1\n")
    day = ["--today", "2026-10-20", "--incomplete"]
    assert main(["seal", str(bare_office), *day]) == 3
    assert "Nothing was sealed" in capsys.readouterr().out
    assert not (bare_office / "sealed").exists()


def test_a_job_is_printed_by_the_sheets_it_was_built_by(bare_office: Path, quick: None) -> None:
    from dossier.pipeline import build

    build(Asked(bare_office, today=TODAY), no_clock)
    promised = tree(bare_office / "as-built")
    company = bare_office.parent / "company.yaml"
    company.write_text(company.read_text().replace("555-0110", "555-0199"))
    done = sealed(bare_office)
    assert done.folder is not None
    assert done.by_as_built == ("company.yaml",)
    assert done.checked.case is not None
    assert done.checked.case.company.phone == "555-0110"
    assert tree(done.folder / "data" / "as-built") == promised


def test_logo_and_templates_stay_the_offices_where_the_sheets_differ(
    bare_office: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    # as-built/ holds neither, so a document printed from it alone had lost both.
    drawn: list[str | None] = []
    punch = Printer._punch_list

    def files(printer: Printer) -> dict[str, bytes]:
        drawn.append(printer.case.company.logo)
        return {"punch-list.pdf": punch(printer)}

    monkeypatch.setattr(Printer, "files", files)
    from dossier.pipeline import build

    build(Asked(bare_office, today=TODAY), no_clock)
    own = bare_office.parent / "templates"
    own.mkdir()
    (own / "punch-list.html").write_text(
        '{% extends "shipped/punch-list.html" %}{% block top %}<p>Our own line.</p>{% endblock %}'
    )
    company = bare_office.parent / "company.yaml"
    company.write_text(company.read_text().replace("555-0110", "555-0199"))
    assert main(["seal", str(bare_office), "--incomplete", "--today", "2026-10-20"]) == 0
    said = capsys.readouterr()
    assert "without the company's logo" not in said.err
    assert f"Office folder: {bare_office.parent}" in said.err
    assert drawn == ["logo.png", "logo.png"]
    pdf = bare_office / "sealed" / "0001-closeout" / "data" / "out" / "punch-list.pdf"
    assert "Our own line." in judged("pdftotext", str(pdf), "-")


def test_todays_sheets_are_copied_first_where_the_office_says_so(
    bare_office: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    from dossier.pipeline import build

    build(Asked(bare_office, today=TODAY), no_clock)
    company = bare_office.parent / "company.yaml"
    company.write_text(company.read_text().replace("555-0110", "555-0199"))
    assert main(["seal", str(bare_office), "--today", "2026-10-20"]) == 1
    assert "Judged and printed by as-built/, since company.yaml says" in capsys.readouterr().out
    more = ["--incomplete", "--fresh-sheets", "--today", "2026-10-20"]
    assert main(["seal", str(bare_office), *more]) == 0
    held = bare_office / "sealed" / "0001-closeout" / "data" / "as-built" / "company.yaml"
    assert "555-0199" in held.read_text()


def test_empty_folders_are_named(bare_office: Path, quick: None) -> None:
    (bare_office / "papers" / "later").mkdir(parents=True)
    done = sealed(bare_office)
    assert done.folder is not None
    assert list(bagit.Bag(str(done.folder)).info["Empty-Folder"]) == ["papers", "papers/later"]


def test_cache_lock_and_leftovers_stay_out(bare_office: Path, quick: None) -> None:
    for name in (".later.dossier-new", ".dossier"):
        (bare_office / name).mkdir()
        (bare_office / name / "x").write_bytes(b"")
    done = sealed(bare_office)
    assert done.folder is not None
    names = [path.name for path in (done.folder / "data").iterdir()]
    assert sorted(names) == ["as-built", "job.yaml", "out", "photos"]


@pytest.mark.parametrize("step", ["checked", "printed", "one file copied"])
@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (lambda job: (job / "job.yaml").write_text("record: 1\n"), "job.yaml"),
        (lambda job: (job / "photos" / "field" / "front.jpg").write_bytes(b"other"), "front.jpg"),
        (
            lambda job: (job / "photos" / "field" / "late.jpg").write_bytes(b"x"),
            "late.jpg came into",
        ),
        (lambda job: (job / "photos" / "field" / "front.jpg").unlink(), "front.jpg"),
    ],
    ids=["record", "photo", "new", "gone"],
)
def test_a_job_that_changes_while_it_is_sealed_is_not_sealed(
    bare_office: Path, quick: None, step: str, edit: Callable[[Path], object], says: str
) -> None:
    done = False

    def at(reached: str) -> None:
        nonlocal done
        # The first file in the order of names is as-built/…, so none of these is copied yet.
        if reached == step and not done:
            done = True
            edit(bare_office)

    with pytest.raises(CannotWrite, match=says):
        sealed(bare_office, at=at)
    assert done
    assert not (bare_office / "sealed").exists()


def test_a_link_in_the_job_is_refused(bare_office: Path, quick: None, tmp_path: Path) -> None:
    (tmp_path / "elsewhere.jpg").write_bytes(b"x")
    (bare_office / "photos" / "link.jpg").symlink_to(tmp_path / "elsewhere.jpg")
    with pytest.raises(CannotWrite, match=r"photos/link.jpg in the job folder is a link"):
        sealed(bare_office)


def test_a_full_disk_seals_nothing(
    bare_office: Path, quick: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    def at(step: str) -> None:
        if step == "begun":
            monkeypatch.setattr(bags_module.os, "fsync", full)

    with pytest.raises(CannotWrite, match="No space left"):
        sealed(bare_office, at=at)
    assert not (bare_office / "sealed").exists()


def test_a_folder_that_may_not_be_written_seals_nothing(
    bare_office: Path, quick: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Made by hand, since the tests may run as a user who may write everywhere.
    real = Path.mkdir

    def barred(path: Path, *args: object, **more: object) -> None:
        if "sealed" in path.parts:
            raise PermissionError(13, "Permission denied")
        real(path, *args, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(Path, "mkdir", barred)
    with pytest.raises(CannotWrite, match=r"Permission denied.*Nothing was added"):
        sealed(bare_office)


def test_a_job_in_another_hand_is_not_sealed(bare_office: Path, quick: None) -> None:
    with job_lock(bare_office / ".dossier"), pytest.raises(JobTaken):
        sealed(bare_office)


def test_originals_are_as_they_were(bare_office: Path, quick: None) -> None:
    before = tree(bare_office)
    sealed(bare_office)
    after = tree(bare_office)
    assert {name: after[name] for name in before} == before


def test_the_same_job_on_the_same_day_gives_the_same_digest(
    bare_office: Path, quick: None, tmp_path: Path
) -> None:
    other = tmp_path / "elsewhere" / "office"
    shutil.copytree(bare_office.parent, other)
    assert sealed(bare_office).digest == sealed(other / "job").digest


def test_a_job_is_sealed_signed_and_checked_from_the_command_line(
    bare_office: Path, quick: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    key = tmp_path / "keys"
    assert main(["key", str(key)]) == 0
    day = ["--today", "2026-10-20"]
    sign = [*day, "--incomplete", "--sign", str(key)]
    assert main(["seal", str(bare_office), *sign]) == 0
    out = capsys.readouterr().out
    assert "Signed with the office's key." in out
    assert "Sealed as incomplete: 1 item holds the handover" in out
    assert main(["verify", str(bare_office), "--key", f"{key}.pub"]) == 0
    told = capsys.readouterr().out
    assert "signed with this key, as it was sealed" in told
    digest = next(line for line in out.splitlines() if line.startswith("Digest: "))
    assert digest.removeprefix("Digest: ") in told


def test_a_key_in_the_job_folder_is_refused_before_anything_is_sealed(
    bare_office: Path, quick: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["key", str(tmp_path / "office-key")]) == 0
    (tmp_path / "office-key").rename(bare_office / "office-key")
    more = ["--incomplete", "--today", "2026-10-20", "--sign", str(bare_office / "office-key")]
    assert main(["seal", str(bare_office), *more]) == 4
    assert "a key there would be copied with the job" in capsys.readouterr().err
    assert not (bare_office / "sealed").exists()


def everything(folder: Path) -> set[str]:
    """Return every name below a folder, working folders included."""
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*")}


@pytest.mark.parametrize("command", ["check", "working", "build", "seal"])
def test_a_command_inside_what_is_sealed_changes_nothing(sealed_demo: Path, command: str) -> None:
    data = sealed_demo / "sealed" / "0001-closeout" / "data"
    before = everything(sealed_demo)
    code = main([command, str(data), "--office", str(data / "as-built"), "--today", "2026-10-20"])
    assert code == (0 if command in ("check", "working") else 4)
    assert everything(sealed_demo) == before
    assert verify(sealed_demo).differences == ()


def test_nobody_is_asked_for_the_day(bare_office: Path, quick: None) -> None:
    done = seal(Asked(bare_office), lambda _: date(2026, 10, 21), incomplete=True)
    assert done.folder is not None
    assert bagit.Bag(str(done.folder)).info["Bagging-Date"] == "2026-10-21"
