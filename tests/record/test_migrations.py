"""A record of an earlier version opens in a later one, and the file stays as it was."""

from pathlib import Path

import pytest

from dossier import RECORD_VERSION
from dossier.reading.nodes import Entry, Mapping, Text, parse_tree
from dossier.record.entry import ENTRY_VERSION
from dossier.record.migrations import (
    ENTRY_MIGRATIONS,
    JOB_MIGRATIONS,
    Migration,
    migrated,
    renamed,
)
from dossier.record.read import read_job

# What the first record might have looked like had it been given another form: the house was called
# site, and its number stood in two parts.
OLDEST = b"""# typed in 2026; a comment
record: 1
site:
  year: 2026
  running: 041
  address: 118 Plover Lane, Halvorsted
  locality: vintermark-2026
"""


def _site_is_the_job(whole: Mapping) -> Mapping:
    return renamed(whole, "site", "job")


def _one_number(whole: Mapping) -> Mapping:
    head = whole.entries.get("job")
    if head is None or not isinstance(head.value, Mapping):
        return whole
    fields = dict(head.value.entries)
    year, running = fields.pop("year", None), fields.pop("running", None)
    if year is None or running is None:
        return whole
    assert isinstance(year.value, Text)
    assert isinstance(running.value, Text)
    number = Text(f"{year.value.text}-{running.value.text}", year.line, year.column)
    fields = {"number": Entry(number, year.line, year.column), **fields}
    inner = Mapping(fields, head.value.line, head.value.column)
    return Mapping(
        {**whole.entries, "job": Entry(inner, head.line, head.column)}, whole.line, whole.column
    )


STEPS = (Migration(2, _site_is_the_job), Migration(3, _one_number))


def _folder(tmp_path: Path, data: bytes) -> Path:
    (tmp_path / "job.yaml").write_bytes(data)
    return tmp_path


def test_the_steps_of_each_form_lead_to_its_version_one_by_one() -> None:
    assert [step.to_version for step in JOB_MIGRATIONS] == list(range(2, RECORD_VERSION + 1))
    assert [step.to_version for step in ENTRY_MIGRATIONS] == list(range(2, ENTRY_VERSION + 1))


def test_an_old_record_opens_through_every_step(tmp_path: Path) -> None:
    read = read_job(_folder(tmp_path, OLDEST), 3, STEPS)
    assert read.items == ()
    assert read.model is not None
    assert (read.model.record, read.model.job.number) == (3, "2026-041")
    assert (tmp_path / "job.yaml").read_bytes() == OLDEST


def test_a_record_of_a_version_between_takes_the_later_steps_alone(tmp_path: Path) -> None:
    data = OLDEST.replace(b"record: 1", b"record: 2").replace(b"site:", b"job:")
    read = read_job(_folder(tmp_path, data), 3, STEPS)
    assert read.model is not None
    assert read.model.job.number == "2026-041"
    # A first step that ran on it all the same would know “site” as well.
    spoilt = data.replace(b"job:", b"site:")
    assert read_job(_folder(tmp_path, spoilt), 3, STEPS).model is None


def test_a_record_of_the_newest_version_is_read_as_it_is(tmp_path: Path) -> None:
    data = b"record: 3\njob:\n  number: 7\n  address: a\n  locality: b\n"
    read = read_job(_folder(tmp_path, data), 3, STEPS)
    assert read.model is not None
    assert read.model.job.number == "7"


def test_a_fault_in_an_old_record_is_named_by_the_line_that_was_typed(tmp_path: Path) -> None:
    data = OLDEST + b"  contract_on: soon\n"
    read = read_job(_folder(tmp_path, data), 3, STEPS)
    [item] = read.items
    assert str(item.says).startswith("job.yaml line 8: “job.contract_on” found “soon”")


@pytest.mark.parametrize(
    ("version", "says"),
    [
        (
            b"4",
            "job.yaml line 2: record version 4 is newer than this tool, which reads up to version 3.",
        ),
        (b"0", "job.yaml line 2: record version 0 does not exist; 1 is the first."),
    ],
)
def test_a_version_that_is_not_read_is_a_sentence(
    tmp_path: Path, version: bytes, says: str
) -> None:
    data = OLDEST.replace(b"record: 1", b"record: " + version)
    [item] = read_job(_folder(tmp_path, data), 3, STEPS).items
    assert str(item.says) == says


@pytest.mark.parametrize(
    "data", [b"record: x\n", b"record:\n  a: 1\n", b"- 1\n", b"a: 1\n", b"record:\n"]
)
def test_a_file_that_gives_no_version_is_left_to_the_model(tmp_path: Path, data: bytes) -> None:
    tree = parse_tree(data, "job.yaml").tree
    assert tree is not None
    assert migrated(tree, "job.yaml", "record", 3, STEPS) == (tree, None)
    read = read_job(_folder(tmp_path, data), 3, STEPS)
    assert read.model is None
    assert read.items


@pytest.mark.parametrize("steps", [(), STEPS[:1], STEPS[1:], STEPS[::-1]])
def test_steps_with_a_gap_are_refused(steps: tuple[Migration, ...]) -> None:
    tree = parse_tree(OLDEST, "job.yaml").tree
    assert tree is not None
    with pytest.raises(ValueError, match="one by one"):
        migrated(tree, "job.yaml", "record", 3, steps)


def test_a_rename_takes_no_field_away() -> None:
    tree = parse_tree(b"site: 1\njob: 2\n", "job.yaml").tree
    assert isinstance(tree, Mapping)
    assert renamed(tree, "site", "job") == tree
    assert renamed(tree, "house", "job") == tree
