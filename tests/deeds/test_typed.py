"""What a front other than the command line asks of the deeds: typed results, and nothing printed."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from dossier.deeds.building import build_job
from dossier.deeds.entering import EntryAsked, prepare_entry, seal_entry
from dossier.deeds.explaining import declared
from dossier.deeds.office_index import OfficeAsked, bring_up_to_date, jobs_with, lots_marked
from dossier.deeds.verifying import compared, seals_of
from dossier.errors import CannotWrite, ExitCode, WrongCommand
from dossier.press.printing import Printer
from dossier.steps.asked import Asked
from dossier.words import EntryKind
from tests.conftest import bare_job, no_clock
from tests.index.shared import filled
from tests.known_good import TODAY

DAY = date(2026, 11, 12)


@pytest.fixture(autouse=True)
def nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> Iterator[None]:
    """Hold every test to a screen that stays empty."""
    yield
    assert capfd.readouterr() == ("", "")


def test_a_build_tells_its_files_and_brings_the_index_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Printer, "files", lambda _: {"made.txt": b"made"})
    job = bare_job(tmp_path / "office")
    filled(job.parent).close()
    (job / "job.yaml").write_text((job / "job.yaml").read_text().replace("Plover", "Lapwing"))
    done = build_job(Asked(job, today=TODAY), no_clock)
    assert (done.built.files, list(done.of_index)) == (("made.txt",), [])
    told = jobs_with(OfficeAsked(job.parent, pytest.fail), "lapwing")
    assert [found.number for found in told.answer.found] == ["2026-041"]
    assert told.unread == ()


def test_a_question_tells_what_was_done_to_the_index_first(tmp_path: Path) -> None:
    said: list[str] = []
    office = OfficeAsked(bare_job(tmp_path / "office").parent, said.append)
    assert lots_marked(office, "0012345").answer.jobs == 1
    assert said[0].startswith("There was no index")
    assert bring_up_to_date(office, anew=True).jobs == 1


def test_an_entry_is_shown_and_sealed_as_it_was_shown(
    sealed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dossier.deeds.answering.Press.pdf", lambda *_: b"%PDF")
    asked = EntryAsked(sealed, EntryKind.NOTE, today=DAY, head={"text": "called"}, on_today=True)
    shown = prepare_entry(asked, no_clock)
    assert list(shown.documents) == ["slip.pdf"]
    other = prepare_entry(EntryAsked(**{**vars(asked), "head": {"text": "no"}}), no_clock)
    with pytest.raises(CannotWrite, match="not the one that was shown"):
        seal_entry(other, shown.mark)
    done = seal_entry(shown, shown.mark)
    assert done.answered.folder.name == "0002-2026-11-12-note"
    seals = seals_of(sealed)
    assert [bag.name for bag in seals.found.bags] == ["0001-closeout", done.answered.folder.name]
    assert compared(seals, None).differences == ()


def test_a_declaration_is_found_by_its_id() -> None:
    assert declared("mat-001").id == "MAT-001"
    with pytest.raises(WrongCommand, match="No rule has the id") as refused:
        declared("MAT-999")
    assert refused.value.exit_code is ExitCode.WRONG_COMMAND
