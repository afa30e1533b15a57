"""A kill at any step or moment leaves nothing half-sealed and nothing lost, and the next run goes on."""

import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.archive.names import CLOSEOUT, is_unfinished, own_name
from dossier.archive.verify import is_whole, verify
from dossier.deeds.sealing import seal
from dossier.errors import CannotWrite
from dossier.press.printing import Printer
from dossier.steps.asked import Asked
from tests.archive.test_supplements import add, sealed_job, tree
from tests.conftest import no_clock
from tests.kills import close, few_bytes, killed
from tests.known_good import TODAY

STEPS = [("cleared", 1), ("begun", 1), ("one file copied", 2), ("written", 1), ("renamed", 1)]
LAST = ("written", "renamed")
"""From here on all of it is on the disk, and it is not lost."""
SEAL_STEPS = [("checked", 1), ("printed", 1), *STEPS]


def originals(job: Path) -> dict[str, bytes | None]:
    """Return what a person put into the job folder."""
    return {
        name: data
        for name, data in tree(job).items()
        if name.split("/")[0] in ("job.yaml", "photos.yaml", "photos", "papers")
    }


def whole_or_absent(job: Path) -> list[str]:
    """Return the names of the sealed folders, once each was verified; leftovers are of unfinished runs."""
    if not (job / "sealed").exists() or not list((job / "sealed").iterdir()):
        return []
    names = sorted(path.name for path in (job / "sealed").iterdir())
    # Cut off in the last step it is whole but for its name, which verify says and the next run mends.
    hidden = [name for name in names if is_unfinished(name) and is_whole(job / "sealed" / name)]
    whole = [name for name in names if not is_unfinished(name)]
    if whole or hidden:
        said = verify(job).differences
        assert len(said) == len(hidden)
        assert all("cut off in its last step" in one for one in said)
    return sorted([*whole, *map(own_name, hidden)])


def jobs(tmp_path: Path, bare_office: Path, count: int) -> list[Path]:
    """Return so many offices with one job each, alike."""
    offices = [tmp_path / "many" / str(number) for number in range(count)]
    for office in offices:
        shutil.copytree(bare_office.parent, office)
    return [office / bare_office.name for office in offices]


def test_a_seal_killed_at_any_step_is_whole_or_absent_and_can_be_made_again(
    tmp_path: Path, bare_office: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Printer, "files", few_bytes)
    before = originals(bare_office)
    many = jobs(tmp_path, bare_office, len(SEAL_STEPS))
    ends = killed(
        [
            {"job": str(job), "what": "seal", "step": step, "nth": nth}
            for job, (step, nth) in zip(many, SEAL_STEPS, strict=True)
        ],
        tmp_path,
    )
    assert ends == ["killed"] * len(SEAL_STEPS)
    for job, (step, _) in zip(many, SEAL_STEPS, strict=True):
        assert originals(job) == before
        assert whole_or_absent(job) == ([CLOSEOUT] if step in LAST else [])
        _seal_again(job, sealed_already=step in LAST)


def _seal_again(job: Path, *, sealed_already: bool) -> None:
    """Seal a job after a kill: it works and leaves nothing over, or says that it was done."""
    before = originals(job)
    asked = Asked(job, today=TODAY)
    if sealed_already:
        with pytest.raises(CannotWrite, match="sealed already"):
            seal(asked, no_clock, incomplete=True)
    else:
        assert seal(asked, no_clock, incomplete=True).folder is not None
    assert [path.name for path in (job / "sealed").iterdir()] == [CLOSEOUT]
    assert verify(job).differences == ()
    assert originals(job) == before


def test_a_seal_killed_at_ten_random_moments_is_whole_or_absent(
    tmp_path: Path, bare_office: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Printer, "files", few_bytes)
    for number in range(40):
        file = bare_office / "photos" / "field" / f"front-{number}.jpg"
        file.write_bytes(b"%d" % number * 50_000)
    before = originals(bare_office)
    chance = random.Random(10)
    shares = [chance.uniform(0.02, 0.98) for _ in range(10)]
    whole, *many = jobs(tmp_path, bare_office, 11)
    cases: list[dict[str, object]] = [{"job": str(whole), "what": "seal"}]
    cases += [
        {"job": str(job), "what": "seal", "after_share": share}
        for job, share in zip(many, shares, strict=True)
    ]
    ends = killed(cases, tmp_path)
    assert ends[0] == "ended with 0"
    assert ends[1:].count("killed") >= 5
    for job in many:
        assert originals(job) == before
        _seal_again(job, sealed_already=whole_or_absent(job) == [CLOSEOUT])


def test_a_supplement_killed_at_any_step_is_whole_or_absent(tmp_path: Path) -> None:
    first = sealed_job(tmp_path / "first")
    many = [
        Path(shutil.copytree(first, tmp_path / f"job-{number}")) for number in range(len(STEPS))
    ]
    ends = killed(
        [
            {"job": str(job), "what": "note", "step": step, "nth": nth}
            for job, (step, nth) in zip(many, STEPS, strict=True)
        ],
        tmp_path,
    )
    assert ends == ["killed"] * len(STEPS)
    for job, (step, _) in zip(many, STEPS, strict=True):
        names = whole_or_absent(job)
        assert names == [CLOSEOUT, *(["0002-2031-06-23-note"] if step in LAST else [])]
        made = add(job)
        assert made.name.startswith(f"{len(names) + 1:04}-")
        assert verify(job).differences == ()
        assert not [path for path in (job / "sealed").iterdir() if is_unfinished(path.name)]


@pytest.mark.parametrize("what", ["seal", "note"])
def test_the_steps_named_here_are_those_of_a_whole_run(
    bare_office: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    # A step that no run reaches would never be killed at, and so would prove nothing.
    monkeypatch.setattr(Printer, "files", few_bytes)
    reached: list[str] = []
    hook: Callable[[str], None] = reached.append
    if what == "note":
        close(bare_office, "seal", lambda _: None)
    close(bare_office, what, hook)
    wanted = SEAL_STEPS if what == "seal" else STEPS
    assert list(dict.fromkeys(reached)) == [step for step, _ in wanted]
