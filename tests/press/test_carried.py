"""What rides inside a handover comes back out of it, equal to what went in, and nothing else is written."""

import io
from collections.abc import Callable
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from uuid import uuid4

import pytest
from hypothesis import HealthCheck, given, settings
from pypdf import PdfWriter

from dossier.case.readers import for_reader, visible
from dossier.cli import main
from dossier.errors import CannotWrite, UnreadableInput
from dossier.pipeline import check
from dossier.press.carried import MOST_BYTES, carried_files, record_digest, recover, withheld
from dossier.reading.model import read_model
from dossier.reading.nodes import parse_tree
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.record.write import to_yaml
from dossier.steps.asked import Asked
from dossier.words import Edition
from tests.conftest import DEMO_JOBS, no_clock
from tests.known_good import DEMO, TODAY, known_good
from tests.record.strategies import of_model


def _pdf(attached: dict[str, bytes]) -> bytes:
    writer = PdfWriter()
    writer.add_blank_page(72, 72)
    for name, data in attached.items():
        writer.add_attachment(name, data)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _carried(edition: Edition = Edition.HOMEOWNER) -> dict[str, bytes]:
    known = known_good({"job.installation.valley_method": "n/a, no valleys on this roof"})
    case = for_reader(known.case, edition)
    sheets = {"company.yaml": b"name: x\n", "terms/kestrelmoor-2026.yaml": b"maker: y\n"}
    return carried_files(case, known.facts, edition, known.case, sheets, "BEGIN:VCALENDAR\r\n")


def test_the_record_comes_back_equal(tmp_path: Path) -> None:
    known = known_good({"job.installation.valley_method": "n/a, no valleys on this roof"})
    case = for_reader(known.case, Edition.HOMEOWNER)
    (tmp_path / "handover.pdf").write_bytes(_pdf(_carried()))
    done = recover(tmp_path / "handover.pdf", tmp_path / "back")
    tree = parse_tree((tmp_path / "back" / "job.yaml").read_bytes(), "job.yaml").tree
    assert tree is not None
    read = read_model(tree, "job.yaml", Job)
    assert read.model == case.job
    assert dict(read.lines.not_applicable) == dict(case.lines.not_applicable)
    photos = parse_tree((tmp_path / "back" / "photos.yaml").read_bytes(), "photos.yaml").tree
    assert photos is not None
    assert read_model(photos, "photos.yaml", PhotoList).model == PhotoList(photos=case.photos)
    assert "as-built/terms/kestrelmoor-2026.yaml" in done.files
    assert done.left == ()


@settings(max_examples=25, deadline=None)
@given(of_model(Job))
def test_any_record_comes_back_equal(job: Job) -> None:
    seen = visible(job, Edition.HOMEOWNER)
    tree = parse_tree(to_yaml(seen).encode(), "job.yaml").tree
    assert tree is not None
    assert read_model(tree, "job.yaml", Job).model == seen


@pytest.mark.parametrize("edition", [Edition.HOMEOWNER, Edition.RESALE])
@settings(
    max_examples=15,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(job=of_model(Job))
def test_any_record_comes_back_out_of_a_pdf_equal(
    tmp_path: Path, edition: Edition, job: Job
) -> None:
    """The whole way: the case as that reader sees it, the attachments of a PDF, and a new folder."""
    known = known_good()
    case = for_reader(replace(known.case, job=job), edition)
    files = carried_files(case, known.facts, edition, replace(known.case, job=job), {}, "")
    folder = tmp_path / uuid4().hex
    folder.mkdir()
    (folder / "handover.pdf").write_bytes(_pdf(files))
    done = recover(folder / "handover.pdf", folder / "back")
    tree = parse_tree((folder / "back" / "job.yaml").read_bytes(), "job.yaml").tree
    assert tree is not None
    assert read_model(tree, "job.yaml", Job).model == case.job
    assert done.withheld == withheld(job, edition)
    assert done.left == ()


@pytest.mark.parametrize(
    ("document", "edition"),
    [("handover", Edition.HOMEOWNER), ("handover-resale", Edition.RESALE)],
)
@pytest.mark.parametrize("job", DEMO_JOBS)
def test_every_demo_record_comes_back_out_of_its_documents(
    job: str, document: str, edition: Edition, built: Callable[[str], Path], tmp_path: Path
) -> None:
    whole = check(Asked(DEMO / job, today=TODAY), no_clock).case
    assert whole is not None
    done = recover(built(job) / f"{document}.pdf", tmp_path / "back")
    tree = parse_tree((tmp_path / "back" / "job.yaml").read_bytes(), "job.yaml").tree
    assert tree is not None
    assert read_model(tree, "job.yaml", Job).model == for_reader(whole, edition).job
    assert done.withheld == withheld(whole.job, edition)
    assert done.left == ()


def test_what_was_withheld_is_named_and_not_told(tmp_path: Path) -> None:
    files = _carried()
    names = files["withheld.txt"].decode().splitlines()
    assert names == list(withheld(known_good().case.job, Edition.HOMEOWNER))
    assert "money" in names
    for secret in (b"14860", b"14,860", b"192.00"):
        assert not any(secret in data for data in files.values())


def test_checksums_can_be_checked_with_an_ordinary_tool() -> None:
    """The lines are those of sha256sum (GNU coreutils): digest, two spaces, file."""
    lines = _carried()["photos.sha256"].decode().splitlines()
    facts = known_good().facts
    assert lines == [f"{facts.photos[f].sha256}  {f}" for f in sorted(facts.photos)]


@pytest.mark.parametrize(
    "name",
    [
        "../evil.txt",
        "/etc/passwd",
        "as-built--..--evil.yaml",
        "as-built--terms--..yaml.yaml/../../x",
        "job.yaml.exe",
        "as-built--other--x.yaml",
    ],
)
def test_names_that_are_not_ours_are_never_written(tmp_path: Path, name: str) -> None:
    data = _pdf({**_carried(), name: b"evil"})
    (tmp_path / "handover.pdf").write_bytes(data)
    done = recover(tmp_path / "handover.pdf", tmp_path / "back")
    assert not any(b"evil" in p.read_bytes() for p in (tmp_path / "back").rglob("*") if p.is_file())
    assert len(done.left) <= 1
    assert {path.name for path in tmp_path.iterdir()} == {"handover.pdf", "back"}


def test_a_file_grown_too_large_is_left(tmp_path: Path) -> None:
    data = {**_carried(), "calendar.ics": b"x" * (MOST_BYTES + 1)}
    (tmp_path / "handover.pdf").write_bytes(_pdf(data))
    assert recover(tmp_path / "handover.pdf", tmp_path / "back").left == ("calendar.ics",)


def test_a_folder_that_is_there_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "handover.pdf").write_bytes(_pdf(_carried()))
    (tmp_path / "back").mkdir()
    with pytest.raises(CannotWrite, match="there already"):
        recover(tmp_path / "handover.pdf", tmp_path / "back")


@pytest.mark.parametrize("data", [b"", b"%PDF-1.7\n", b"hello", _pdf({}), _pdf({"x.txt": b"1"})])
def test_another_file_is_refused_with_a_sentence(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "other.pdf").write_bytes(data)
    with pytest.raises(UnreadableInput):
        recover(tmp_path / "other.pdf", tmp_path / "back")
    assert not (tmp_path / "back").exists()


def test_the_command_prints_what_was_withheld(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "handover.pdf").write_bytes(_pdf(_carried()))
    assert main(["recover", str(tmp_path / "handover.pdf"), str(tmp_path / "back")]) == 0
    assert "Withheld from this edition's reader" in capsys.readouterr().out
    assert main(["recover", str(tmp_path / "no.pdf"), str(tmp_path / "other")]) == 3


def test_the_digest_moves_with_record_photo_and_paper() -> None:
    known = known_good()
    before = record_digest(known.case, known.facts)
    assert len(before) == sha256().digest_size * 2
    for edit in (
        {"job.building.year_built": "1995"},
        {"facts.photos/field/back.jpg.sha256": "0" * 64},
        {"facts.papers/contract.pdf.sha256": "0" * 64},
        {"photos.0": {"file": "photos/field/back.jpg", "caption": "other"}},
    ):
        other = known_good(edit)
        assert record_digest(other.case, other.facts) != before
    same = known_good()
    assert record_digest(same.case, same.facts) == before
