"""Entries after close-out: one kind, its own group, and the folders they lie in."""

from pathlib import Path

import pytest

from dossier.record.entry import ENTRY_FILE, GROUP_OF, Entry, entries_of, read_entry
from dossier.record.write import to_yaml
from dossier.words import EntryKind

HEAD = "entry: 1\njob: 2026-041\non: 2031-06-20\nnoted_by: Ida Torvik\nnoted_on: 2031-06-23\n"
GROUPS = {
    "correction": "correction:\n  field: slopes.0.pitch\n  was: 4:12\n  right: 6:12\n  why: a slip\n"
    "  found_by: Ida Torvik\n",
    "papers": "papers:\n  - file: files/ticket.pdf\n    kind: ticket\n",
    "photos": "photos:\n  - file: files/nails.jpg\n    phase: field\n",
    "registration": "registration:\n  sheet: kestrelmoor-2026\n  confirmation: 0012345\n",
    "sale": "sale:\n  closing_on: 2031-06-20\n  buyer:\n    name: Tore Lindahl\n",
    "claim": "claim:\n  number: C-1\n  slope: front\n  from_eave_ft: 6 ft\n",
    "work": "work:\n  by: the owner's plumber\n  what: a pipe boot replaced\n",
    "inspection": "inspection:\n  decision: material paid at 62 %\n",
    "text": "text: the owner asks for a copy\n",
}


def _read(tmp_path: Path, text: str) -> tuple[Entry | None, list[str]]:
    path = tmp_path / "entry.yaml"
    path.write_text(text, encoding="utf-8")
    read = read_entry(path)
    return read.model, [str(item.says) for item in read.items]


@pytest.mark.parametrize("kind", EntryKind)
def test_an_entry_of_each_kind_is_read_and_written_back(tmp_path: Path, kind: EntryKind) -> None:
    entry, items = _read(tmp_path, f"{HEAD}kind: {kind}\n{GROUPS[GROUP_OF[kind]]}")
    assert items == []
    assert entry is not None
    assert entry.kind is kind
    assert _read(tmp_path, to_yaml(entry)) == (entry, [])


def test_numbers_of_a_confirmation_stay_the_text_that_was_typed(tmp_path: Path) -> None:
    entry, _ = _read(tmp_path, f"{HEAD}kind: registration confirmed\n{GROUPS['registration']}")
    assert entry is not None
    assert entry.registration is not None
    assert entry.registration.confirmation == "0012345"


@pytest.mark.parametrize("kind", EntryKind)
def test_an_entry_without_its_own_group_is_an_item(tmp_path: Path, kind: EntryKind) -> None:
    own = GROUP_OF[kind]
    assert _read(tmp_path, f"{HEAD}kind: {kind}\n") == (
        None,
        [f"entry.yaml line 1: an entry of kind “{kind}” needs “{own}”."],
    )


def test_an_entry_with_the_group_of_another_kind_is_an_item(tmp_path: Path) -> None:
    text = f"{HEAD}kind: sold\n{GROUPS['sale']}{GROUPS['claim']}"
    assert _read(tmp_path, text) == (
        None,
        ["entry.yaml line 11: an entry of kind “sold” has no “claim”."],
    )


def test_a_note_may_stand_beside_any_group(tmp_path: Path) -> None:
    entry, items = _read(tmp_path, f"{HEAD}kind: sold\n{GROUPS['sale']}{GROUPS['text']}")
    assert (entry is not None, items) == (True, [])


@pytest.mark.parametrize(
    ("version", "says"),
    [
        (
            "2",
            "entry.yaml line 1: entry version 2 is newer than this tool, which reads up to version 1.",
        ),
        ("0", "entry.yaml line 1: entry version 0 does not exist; 1 is the first."),
    ],
)
def test_a_version_this_program_does_not_know_is_an_item(
    tmp_path: Path, version: str, says: str
) -> None:
    text = f"{HEAD}kind: note\ntext: a\n".replace("entry: 1", f"entry: {version}")
    assert _read(tmp_path, text) == (None, [says])


def test_the_entries_of_a_job_come_in_the_order_of_their_numbers(tmp_path: Path) -> None:
    for name in ("0010-2031-06-20-note", "0002-2030-01-01-note", "0001-closeout", "thumbs", ".x"):
        file = tmp_path / "sealed" / name / ENTRY_FILE
        file.parent.mkdir(parents=True)
        file.write_text(f"{HEAD}kind: note\ntext: {name}\n")
    (tmp_path / "sealed" / "0011-2032-01-01-note").mkdir()
    (tmp_path / "sealed" / "0012-link").symlink_to(tmp_path / "sealed" / "0010-2031-06-20-note")
    found = [
        (folder.name, read.model.text if read.model else [str(item.says) for item in read.items])
        for folder, read in entries_of(tmp_path)
    ]
    assert found == [
        ("0002-2030-01-01-note", "0002-2030-01-01-note"),
        ("0010-2031-06-20-note", "0010-2031-06-20-note"),
        ("0011-2032-01-01-note", ["sealed/0011-2032-01-01-note/data/entry.yaml is not there."]),
    ]


def test_a_job_with_nothing_sealed_has_no_entries(tmp_path: Path) -> None:
    assert entries_of(tmp_path) == ()
