"""Files that no record may be: each is one item that names the file and, where it can, the line.

The escapes, anchors and tags are those of YAML 1.2.2 (chapters 5.7, 6.9.2 and 6.9.1); the growing
file of aliases is the “billion laughs” of CAPEC-197, common knowledge.
"""

import os
import stat
import tracemalloc
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.punchlist import Holds, Item, Party
from dossier.reading import nodes
from dossier.reading.nodes import (
    MOST_BYTES,
    MOST_LEVELS,
    Mapping,
    Reading,
    Sequence,
    Text,
    parse_tree,
    read_tree,
)

LAUGHS = "a: &a [lol, lol, lol, lol, lol, lol, lol, lol, lol]\n" + "".join(
    f"{here}: &{here} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, here in zip("abcdefgh", "bcdefghi", strict=True)
)

REFUSED: dict[str, tuple[bytes, str, int, str]] = {
    "empty": (b"", "SHP-009", 1, "job.yaml is empty."),
    "only space": (b"  \n\n", "SHP-009", 1, "job.yaml is empty."),
    "only a mark": (b"\xef\xbb\xbf", "SHP-009", 1, "job.yaml is empty."),
    "only comments": (b"# one\n# two\n", "SHP-009", 1, "job.yaml holds only comments."),
    "twice": (
        b"record: 1\njob: x\nrecord: 2\n",
        "SHP-007",
        3,
        "job.yaml line 3 gives “record” again; line 1 has it too.",
    ),
    "twice, once in quotes": (
        b"a: 1\n'a': 2\n",
        "SHP-007",
        2,
        "job.yaml line 2 gives “a” again; line 1 has it too.",
    ),
    "Latin-1": (
        "record: 1\njob:\n  address: Höhe\n".encode("latin-1"),
        "SHP-003",
        3,
        "job.yaml line 3 holds the byte 0xf6, which is not UTF-8.",
    ),
    "UTF-16": (
        "a: 1\n".encode("utf-16"),
        "SHP-003",
        1,
        "job.yaml line 1 holds the byte 0xff, which is not UTF-8.",
    ),
    "anchor": (
        b"a: 1\nb: &x [1]\n",
        "SHP-006",
        2,
        "job.yaml line 2 uses an anchor (&); records are written out plainly.",
    ),
    "alias": (
        b"a: 1\nb: *x\n",
        "SHP-006",
        2,
        "job.yaml line 2 uses an alias (*); records are written out plainly.",
    ),
    "anchor on a name": (
        b"&x a: 1\n",
        "SHP-006",
        1,
        "job.yaml line 1 uses an anchor (&); records are written out plainly.",
    ),
    "tag": (
        b"a: 1\nb: !!python/object/apply:os.system [ls]\n",
        "SHP-006",
        2,
        "job.yaml line 2 uses a tag (!); records are written out plainly.",
    ),
    "plain tag": (
        b"a: !!str 1\n",
        "SHP-006",
        1,
        "job.yaml line 1 uses a tag (!); records are written out plainly.",
    ),
    "billion laughs": (
        LAUGHS.encode(),
        "SHP-006",
        1,
        "job.yaml line 1 uses an anchor (&); records are written out plainly.",
    ),
    "two documents": (
        b"---\na: 1\n---\nb: 2\n",
        "SHP-005",
        4,
        "job.yaml line 4 is in a second document, parted by a line of dashes.",
    ),
    "complex name": (
        b"a: 1\n? [b, c]\n: d\n",
        "SHP-005",
        2,
        "job.yaml line 2 has a list or group where the name of a field is needed.",
    ),
    "NUL": (
        b"a: 1\nb: x\0y\n",
        "SHP-004",
        2,
        "job.yaml line 2 holds the control character [U+0000].",
    ),
    "BEL": (b"a: \x07\n", "SHP-004", 1, "job.yaml line 1 holds the control character [U+0007]."),
    "escape": (
        b"a: \x1b[31m\n",
        "SHP-004",
        1,
        "job.yaml line 1 holds the control character [U+001B].",
    ),
    "next line": (
        "a: 1\nb: x\u0085y\n".encode(),
        "SHP-004",
        2,
        "job.yaml line 2 holds the control character [U+0085].",
    ),
    "line separator": (
        "a: x\u2028y\n".encode(),
        "SHP-004",
        1,
        "job.yaml line 1 holds the control character [U+2028].",
    ),
    "mark inside": (
        "a: 1\n\ufeffb: 2\n".encode(),
        "SHP-004",
        2,
        "job.yaml line 2 holds the control character [U+FEFF].",
    ),
    "no character": (
        "a: 1\nb: \ufffe\n".encode(),
        "SHP-004",
        2,
        "job.yaml line 2 holds the control character [U+FFFE].",
    ),
    "lone return": (
        b"a: 1\rb: 2\n",
        "SHP-004",
        1,
        "job.yaml line 1 holds the control character [U+000D].",
    ),
    "two returns": (
        b"a: 1\r\nb: 2\r\r\n",
        "SHP-004",
        2,
        "job.yaml line 2 holds the control character [U+000D].",
    ),
    "NUL by an escape": (
        b'a: 1\nb: "x\\0y"\n',
        "SHP-004",
        2,
        "job.yaml line 2 holds the control character [U+0000].",
    ),
    "line separator by an escape": (
        b'a: "x\\Ly"\n',
        "SHP-004",
        1,
        "job.yaml line 1 holds the control character [U+2028].",
    ),
    "BEL by an escape in a name": (
        b'a: 1\n"b\\a": 2\n',
        "SHP-004",
        2,
        "job.yaml line 2 holds the control character [U+0007].",
    ),
}


def only(reading: Reading) -> Item:
    """Return the one item of a file without a tree."""
    assert reading.tree is None
    assert len(reading.items) == 1
    return reading.items[0]


@pytest.fixture(params=["parser in C", "parser in Python"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Read with either parser: PyYAML may be installed without the one in C."""
    if request.param == "parser in Python":
        monkeypatch.delattr(yaml, "CSafeLoader", raising=False)


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize("name", REFUSED)
def test_refused_with_one_sentence(name: str) -> None:
    data, rule, line, says = REFUSED[name]
    item = only(parse_tree(data, "job.yaml"))
    assert (item.rule, item.where.file, item.where.line, str(item.says)) == (
        rule,
        "job.yaml",
        line,
        says,
    )
    assert item.owed_by is Party.OFFICE
    assert item.holds == frozenset(Holds)
    assert item.remedy


@pytest.mark.parametrize(
    ("data", "line"),
    [
        (b"a: 1\nb: [1, 2\nc: 3\n", 3),
        (b"a: 1\nb: c: d\n", 2),
        (b"a: 1\n\tb: 2\n", 2),
        (b"a: 'x\n", 2),
        (b"a: 1\r\nb: 2\r\nc: d: e\r\n", 3),
        (b'a: "\\ud800"\n', 1),
        (b"a: @b\n", 1),
    ],
)
def test_what_does_not_parse_names_its_line(data: bytes, line: int) -> None:
    item = only(parse_tree(data, "job.yaml"))
    assert item.rule == "SHP-005"
    assert str(item.says).startswith(f"job.yaml line {item.where.line} does not parse as YAML: ")
    # A quote that is never closed is noticed at the end of the file.
    assert item.where.line == line


def test_a_few_hundred_bytes_of_aliases_take_no_memory() -> None:
    assert len(LAUGHS) < 500
    tracemalloc.start()
    try:
        only(parse_tree(LAUGHS.encode(), "job.yaml"))
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    # Written out, the nine levels hold 9**9 words.
    assert peak < 1_000_000


def test_a_mark_at_the_start_is_left_out() -> None:
    tree = parse_tree(b"\xef\xbb\xbfrecord: 1\n", "job.yaml").tree
    assert tree == parse_tree(b"record: 1\n", "job.yaml").tree
    assert isinstance(tree, Mapping)
    assert list(tree.entries) == ["record"]


def test_lines_and_columns_are_those_an_editor_shows() -> None:
    text = "# by hand\nrecord: 1\n\njob:\n  number: 2\nlist:\n  - one\n  - two: 2\n"
    for ending in ("\n", "\r\n"):
        tree = parse_tree(text.replace("\n", ending).encode(), "job.yaml").tree
        assert isinstance(tree, Mapping)
        assert {name: entry.line for name, entry in tree.entries.items()} == {
            "record": 2,
            "job": 4,
            "list": 6,
        }
        job, rows = tree.entries["job"].value, tree.entries["list"].value
        assert isinstance(job, Mapping)
        assert job.entries["number"].value == Text("2", 5, 11)
        assert isinstance(rows, Sequence)
        assert [row.line for row in rows.items] == [7, 8]


def test_every_scalar_is_the_text_that_was_typed() -> None:
    # YAML 1.1 reads these as 5349, 100000.0, 1000, False, 252, None, 1.0, a date and infinity
    # (yaml.org/type: int, float, bool, null, timestamp).
    typed = ["0012345", "1E5", "1_000", "NO", "4:12", "~", "1.00", "2026-09-14", ".inf", "0x1F"]
    data = "".join(f"- {text}\n" for text in typed).encode()
    tree = parse_tree(data, "lots.yaml").tree
    assert isinstance(tree, Sequence)
    assert [row.text for row in tree.items if isinstance(row, Text)] == typed


@pytest.mark.parametrize("level", [MOST_LEVELS, MOST_LEVELS + 1])
@pytest.mark.parametrize("shape", ["flow", "block"])
def test_twenty_levels_and_no_more(level: int, shape: str) -> None:
    # The outermost group is the first level.
    if shape == "flow":
        data, line = f"a: {'[' * (level - 1)}{']' * (level - 1)}\n", 1
    else:
        data, line = "".join(f"{' ' * n}a:\n" for n in range(level - 1)), level
        data += f"{' ' * (level - 1)}a: x\n"
    reading = parse_tree(data.encode(), "job.yaml")
    if level <= MOST_LEVELS:
        assert reading.tree is not None
    else:
        item = only(reading)
        assert item.rule == "SHP-008"
        assert str(item.says) == f"job.yaml line {line} is nested more than 20 levels deep."


def test_a_hundred_thousand_levels_are_refused_as_soon_as_seen() -> None:
    item = only(parse_tree(b"[" * 100_000, "job.yaml"))
    # The parser in C has a limit of its own, which it meets while it looks ahead.
    assert item.rule in {"SHP-005", "SHP-008"}


def test_a_file_of_100_mb_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.touch()
    os.truncate(path, 100_000_000)
    tracemalloc.start()
    try:
        item = only(read_tree(path, "job.yaml"))
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert item.rule == "SHP-002"
    assert str(item.says) == "job.yaml has 100,000,000 bytes; at most 2,097,152 are read."
    assert peak < MOST_BYTES


def test_the_last_byte_that_is_read(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    start = b"a: 1\n#"
    path.write_bytes(start + b"x" * (MOST_BYTES - len(start)))
    assert read_tree(path, "job.yaml").tree is not None
    with path.open("ab") as file:
        file.write(b"x")
    assert only(read_tree(path, "job.yaml")).rule == "SHP-002"


def test_a_file_that_grows_while_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "job.yaml"
    path.write_bytes(b"#" * (MOST_BYTES + 1))
    truth = os.fstat

    def as_it_was(handle: int) -> os.stat_result:
        fields = list(truth(handle))
        fields[stat.ST_SIZE] = 5
        return os.stat_result(fields)

    monkeypatch.setattr(nodes.os, "fstat", as_it_was)
    reading = read_tree(path, "job.yaml")
    monkeypatch.undo()
    assert str(only(reading).says) == "job.yaml has 2,097,153 bytes; at most 2,097,152 are read."


def test_a_missing_file(tmp_path: Path) -> None:
    item = only(read_tree(tmp_path / "job.yaml", "job.yaml"))
    assert (item.rule, str(item.says)) == ("SHP-001", "job.yaml is not there.")


def test_a_folder_under_the_name(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").mkdir()
    before = sorted(Path("/proc/self/fd").iterdir()) if Path("/proc/self/fd").is_dir() else []
    item = only(read_tree(tmp_path / "job.yaml", "job.yaml"))
    assert (item.rule, str(item.says)) == ("SHP-001", "job.yaml is a folder; a file is needed.")
    after = sorted(Path("/proc/self/fd").iterdir()) if before else []
    # A handle that is left open keeps an office's network drive from being unplugged.
    assert len(after) == len(before)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_named_pipe_does_not_hang_the_run(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "job.yaml")
    item = only(read_tree(tmp_path / "job.yaml", "job.yaml"))
    assert str(item.says) == "job.yaml is not an ordinary file; a file is needed."


def test_a_link_that_leads_nowhere_or_to_itself(tmp_path: Path) -> None:
    (tmp_path / "gone").symlink_to(tmp_path / "nowhere")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    assert str(only(read_tree(tmp_path / "gone", "gone")).says) == "gone is not there."
    assert only(read_tree(tmp_path / "loop", "loop")).rule == "SHP-001"


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read every file"
)
def test_a_file_without_the_right_to_read(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text("record: 1\n")
    path.chmod(0)
    assert str(only(read_tree(path, "job.yaml")).says) == "job.yaml may not be read by this user."


@pytest.mark.parametrize(
    ("problem", "says"),
    [
        (PermissionError(13, "Permission denied"), "job.yaml may not be read by this user."),
        (OSError(5, "Input/output error"), "job.yaml cannot be opened: Input/output error."),
    ],
)
def test_a_file_that_the_system_refuses(
    problem: OSError, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: Any) -> int:
        raise problem

    monkeypatch.setattr(nodes.os, "open", refuse)
    reading = read_tree(tmp_path / "job.yaml", "job.yaml")
    monkeypatch.undo()
    assert (only(reading).rule, str(only(reading).says)) == ("SHP-001", says)
