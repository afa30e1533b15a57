"""Two job folders under one number, by the index: found where it is true, and by nothing else."""

from datetime import date
from pathlib import Path

from dossier.index.same import Same, same_numbers
from dossier.index.store import index_path
from dossier.pipeline import check
from dossier.steps.asked import Asked
from tests.conftest import copy_office, no_clock
from tests.index.shared import filled

JOB, OTHER = "2026-041-plover-lane", "2026-052-mill-race-road"
NUMBER, PERMIT, PLACE = "2026-041", "R-2026-1187", "vintermark-2026"


def _change(office: Path, folder: str, was: str, becomes: str) -> None:
    record = office / folder / "job.yaml"
    text = record.read_text(encoding="utf-8")
    assert was in text
    record.write_text(text.replace(was, becomes), encoding="utf-8")


def _same(office: Path) -> tuple[Same, ...]:
    return same_numbers(office, office / JOB, NUMBER, PERMIT, PLACE)


def test_the_demo_office_has_no_number_twice(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office", JOB, OTHER)
    filled(office).close()
    assert _same(office) == ()


def test_another_jobs_permit_and_number_are_found(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office", JOB, OTHER)
    _change(office, OTHER, "R-2026-1203", PERMIT)
    filled(office).close()
    assert _same(office) == (Same(OTHER, number=False, permit=True),)
    _change(office, OTHER, "number: 2026-052", "number: 2026-041")
    filled(office).close()
    assert _same(office) == (Same(OTHER, number=True, permit=True),)


def test_a_permit_of_another_office_is_another_permit(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office", JOB, OTHER)
    _change(office, OTHER, "R-2026-1203", PERMIT)
    _change(office, OTHER, "locality: vintermark-2026", "locality: port-ismere-2025")
    filled(office).close()
    assert _same(office) == ()


def test_what_was_mended_since_is_not_told(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office", JOB, OTHER)
    _change(office, OTHER, "R-2026-1203", PERMIT)
    filled(office).close()
    _change(office, OTHER, PERMIT, "R-2026-1203")
    assert _same(office) == ()


def test_no_index_is_made_for_the_asking(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office", JOB, OTHER)
    _change(office, OTHER, "R-2026-1203", PERMIT)
    assert _same(office) == ()
    assert not index_path(office).exists()


def test_a_check_tells_it(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office", JOB, OTHER)
    _change(office, OTHER, "R-2026-1203", PERMIT)
    filled(office).close()
    found = check(Asked(office / JOB, today=date(2026, 10, 20)), no_clock)
    says = [str(item.says) for item in found.punch_list if item.rule == "IDN-011"]
    assert says == [f"{OTHER} has the same permit number."]
