"""That the newest sealed folder was taken away shows by a digest that was kept elsewhere, and by nothing else."""

import shutil
from hashlib import sha256
from pathlib import Path

import pytest

from dossier.archive.supplements import add_supplement
from dossier.cli import main
from tests.archive.test_supplements import ENTRY, sealed_job


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job with its closing and two supplements sealed."""
    folder = sealed_job(tmp_path / "job")
    for _ in range(2):
        add_supplement(folder, ENTRY, {"note.pdf": b"%PDF"}, {})
    return folder


def bags(job: Path) -> list[Path]:
    """Return the sealed folders."""
    return sorted((job / "sealed").iterdir())


def test_the_newest_bag_taken_away_is_said_to_go_unseen_by_itself(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # Each bag carries the digest of the one before it, and nothing that of the last.
    shutil.rmtree(bags(job)[-1])
    assert main(["verify", str(job)]) == 0
    out = capsys.readouterr().out
    says = (
        "Whether later folders were taken away from the end cannot be told from the folder itself."
    )
    assert f". {says} What was kept elsewhere shows it" in out
    assert "the newest folder’s digest (--digest HEX)" in out


def test_a_digest_kept_elsewhere_shows_that_the_newest_was_taken_away(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    newest = bags(job)[-1]
    # As the docs say for whoever has no dossier: the SHA-256 of the tag manifest.
    kept = sha256((newest / "tagmanifest-sha256.txt").read_bytes()).hexdigest()
    typed = f"{kept[:32].upper()} {kept[32:]}"
    assert main(["verify", str(job), "--digest", typed]) == 0
    out = capsys.readouterr().out
    assert f"= {newest.name}, the newest folder, has the digest given" in out
    assert "taken away from the end" not in out
    shutil.rmtree(newest)
    assert main(["verify", str(job), "--digest", kept]) == 5
    assert f"the digest given is {kept[:16]}…; no folder here has it." in capsys.readouterr().out


def test_the_digest_of_an_older_bag_is_no_difference(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # It was printed at sealing, before the later ones were there.
    first, _, third = bags(job)
    kept = sha256((first / "tagmanifest-sha256.txt").read_bytes()).hexdigest()
    assert main(["verify", str(job), "--digest", kept]) == 0
    out = capsys.readouterr().out
    assert f"= {first.name} has the digest given." in out
    assert f". {third.name} was sealed after that digest was written down" in out


@pytest.mark.parametrize("typed", ["", "5c1f", "g" * 64, "0" * 65])
def test_what_is_no_whole_digest_is_a_sentence(
    job: Path, typed: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify", str(job), "--digest", typed]) == 2
    assert "64 are needed, each 0 to 9 or a to f" in capsys.readouterr().err
