"""Every way to alter the past in attacks.py, and what verify says of it; docs/archive.md prints the same table."""

import shutil
from pathlib import Path

import pytest

from dossier.archive.keys import make_keys, private_key, sign
from dossier.archive.supplements import add_supplement, previous_digest
from dossier.cli import main
from dossier.deeds.sealing import seal
from dossier.steps.asked import Asked
from tests.archive import pdf_edits
from tests.archive.attacks import ATTACKS, BEGIN, END, Attack, Scene, Who, table
from tests.archive.conftest import DEMO_JOB
from tests.archive.test_supplements import ENTRY
from tests.conftest import Once, copy_office, no_clock
from tests.known_good import DEMO, TODAY

ARCHIVE = Path(__file__).parents[2] / "docs" / "archive.md"


def _fill(folder: Path) -> None:
    """Seal a job with two photos, which is soon printed, add two entries, and sign all of it."""
    make_keys(folder / "kept" / "office")
    job = copy_office(folder / "office") / DEMO_JOB
    (job / "photos" / "field").mkdir(parents=True)
    for file in ("job.yaml", "photos/field/front.jpg", "photos/field/back.jpg"):
        shutil.copy(DEMO / DEMO_JOB / file, job / file)
    assert seal(Asked(job, today=TODAY), no_clock, incomplete=True).folder is not None
    shutil.copy(job / "out" / "handover.pdf", folder / "kept" / "handover.pdf")
    for _ in range(2):
        before = previous_digest(job)
        assert before is not None
        letter = pdf_edits.letter(before, folder / "kept" / "letter.pdf")
        documents = {"letter.pdf": letter.read_bytes()}
        add_supplement(job, ENTRY, documents, {})
    for bag in (job / "sealed").iterdir():
        sign(bag, private_key(folder / "kept" / "office"))


@pytest.fixture
def scene(once: Once, tmp_path: Path) -> Scene:
    """Return a sealed job to be altered."""
    folder = Path(shutil.copytree(once("attacked", _fill), tmp_path / "scene"))
    kept = folder / "kept"
    handover = kept / "handover.pdf"
    job = folder / "office" / DEMO_JOB
    return Scene(job, kept / "office", handover, kept / "letter.pdf", handover)


def test_nothing_is_said_of_a_job_that_nobody_altered(
    scene: Scene, capsys: pytest.CaptureFixture[str]
) -> None:
    digest = previous_digest(scene.job)
    assert digest is not None
    for flags in (
        [],
        ["--key", f"{scene.private}.pub"],
        ["--digest", digest],
        ["--against", str(scene.handover)],
        ["--against", str(scene.letter)],
    ):
        assert main(["verify", str(scene.job), *flags]) == 0, flags
        assert "\n# " not in capsys.readouterr().out


@pytest.mark.parametrize("attack", ATTACKS, ids=[one.name for one in ATTACKS])
def test_what_is_said_of_an_attack(
    attack: Attack, scene: Scene, capsys: pytest.CaptureFixture[str]
) -> None:
    digest = previous_digest(scene.job)
    assert digest is not None
    attack.does(scene)
    flags = {
        "plain": [],
        "key": ["--key", f"{scene.private}.pub"],
        "digest": ["--digest", digest],
        "against": ["--against", str(scene.held)],
    }
    for asked, says in attack.asked():
        code = main(["verify", str(scene.job), *flags[asked]])
        told = capsys.readouterr()
        assert "Traceback" not in told.err
        assert code == says.code, (asked, told.out, told.err)
        # What verify names stands on a line of its own that begins with a number sign.
        lines = [line for line in told.out.splitlines() if says.words in line]
        assert lines or says.words in told.err, (asked, told.out, told.err)


def test_the_docs_print_this_table() -> None:
    text = ARCHIVE.read_text(encoding="utf-8")
    assert text.partition(BEGIN)[2].partition(END)[0] == table()
    assert len(ATTACKS) >= 40
    assert len({one.name for one in ATTACKS}) == len(ATTACKS)
    assert {one.who for one in ATTACKS} == set(Who)
