"""Seven mutated records through a whole build: documents or a sentence, and the originals as they were."""

import shutil
from pathlib import Path

import pytest

from dossier.cli import main
from tests.conftest import copy_office
from tests.known_good import GOOD_JOB
from tests.mutations import mutated

SEEDS = range(41, 48)


def test_mutated_records_are_built_or_told_in_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = copy_office(tmp_path / "office", GOOD_JOB.name) / GOOD_JOB.name
    shutil.rmtree(job / "photos")
    shutil.rmtree(job / "papers")
    whole = (job / "job.yaml").read_bytes()
    codes = []
    for seed in SEEDS:
        record = mutated(whole, seed)
        (job / "job.yaml").write_bytes(record)
        codes.append(main(["build", str(job), "--today", "2026-10-20"]))
        told = capsys.readouterr()
        assert "Traceback" not in told.out + told.err
        assert told.out + told.err
        assert (job / "job.yaml").read_bytes() == record
        if codes[-1] in (0, 1):
            assert (job / "out" / "handover.pdf").read_bytes().startswith(b"%PDF-")
    # 1: built, with items, since no photo is there; 3: the record cannot be read.
    assert set(codes) == {1, 3}
