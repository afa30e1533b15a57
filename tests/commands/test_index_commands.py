"""The questions to an office as they are typed: where they look, what they print, and what they load."""

import csv
import io
import subprocess
import sys
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.index.store import index_path
from tests.conftest import copy_office
from tests.index.shared import filled
from tests.known_good import DEMO

ROOT = Path(__file__).parent.parent.parent
JOBS = tuple(sorted(path.parent.name for path in DEMO.glob("*/job.yaml")))


@pytest.fixture
def office(tmp_path: Path) -> Path:
    return copy_office(tmp_path / "office", *JOBS)


@pytest.mark.parametrize(
    "place", [".", "2026-041-plover-lane", "2026-041-plover-lane/photos", "terms"]
)
def test_the_office_is_found_from_anywhere_in_it(
    office: Path, place: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(office / place)
    assert main(["find", "cinder"]) == 0
    printed = capsys.readouterr()
    assert "2026-047 · 23 Cinder Street, Port Ismere" in printed.out
    assert "There was no index" in printed.err
    assert index_path(office).is_file()


def test_no_office_is_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for command in (["find", "x"], ["lots", "1"], ["due"], ["office"], ["index"]):
        assert main(command) == 3
        assert "holds a company.yaml" in capsys.readouterr().err
    assert main(["find", "x", "--office", str(tmp_path / "none")]) == 3
    assert "holds no company.yaml" in capsys.readouterr().err


def test_nothing_found_is_a_sentence_and_no_failure(
    office: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where = ["--office", str(office)]
    for command, says in (
        (["find", "xylophone"], "Nothing found: no job has “xylophone”"),
        (["find", "…"], "a word with a letter or digit is needed"),
        (["lots", "999"], "No job has lot “999” on record."),
        (["due", "--today", "2030-01-01"], "Nothing to meet"),
    ):
        assert main([*command, *where]) == 0
        assert says in capsys.readouterr().out


def test_the_demo_s_deadlines_are_listed(office: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["due", "--today", "2026-10-20", "--office", str(office)]) == 0
    printed = capsys.readouterr().out
    # 2026-09-21 and 60 days are 2026-11-20, by clause 4.2 of the demo's sheet and a calendar.
    assert "2026-11-20 · 31 days left · 2026-041 · 118 Plover Lane, Halvorsted" in printed
    assert "No day can be told for 1 registration" in printed
    # The third job was registered in time, so nothing of it is due.
    assert "Mill Race" not in printed


def test_a_recall_as_csv_is_csv_and_nothing_else(
    office: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["lots", "0012", "--csv", "--office", str(office)]) == 0
    printed = capsys.readouterr()
    rows = list(csv.DictReader(io.StringIO(printed.out)))
    assert [(row["match"], row["mark"], row["job"]) for row in rows] == [
        ("begins so", "0012345", "2026-041"),
        ("begins so", "0012346", "2026-041"),
        ("begins so", "0012399", "2026-047"),
    ]
    assert "No job has lot “0012” on record." in printed.err


def test_a_question_loads_no_model_and_no_layout(office: Path) -> None:
    # A question is to be answered at once; what reads records is loaded only when one has changed.
    filled(office).close()
    code = (
        "import sys\n"
        "from dossier.cli import main\n"
        f"where = ['--office', {str(office)!r}]\n"
        "assert main(['find', 'plovr', *where]) == main(['lots', '0012345', *where]) == 0\n"
        "assert main(['due', '--today', '2026-10-20', *where]) == 0\n"
        "heavy = ('pydantic', 'weasyprint', 'yaml', 'PIL', 'pypdf', 'jinja2')\n"
        "print('LOADED', sorted(set(heavy) & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "LOADED []" in done.stdout
    assert "taken for “plover”" in done.stdout or "2026-041" in done.stdout
