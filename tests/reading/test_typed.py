"""A file written again without comments reads as the same tree."""

from pathlib import Path

import pytest

from dossier.reading.nodes import Mapping, Node, Sequence, Text, parse_tree
from dossier.reading.typed import without_comments
from tests.known_good import DEMO


def _bare(node: Node | None) -> object:
    """Return the tree without lines, which are the only thing that may change."""
    assert node is not None
    if isinstance(node, Text):
        return node.text
    if isinstance(node, Mapping):
        return {name: _bare(entry.value) for name, entry in node.entries.items()}
    assert isinstance(node, Sequence)
    return [_bare(item) for item in node.items]


@pytest.mark.parametrize("path", sorted(DEMO.rglob("*.yaml")), ids=lambda path: path.name)
def test_the_demo_files_read_the_same(path: Path) -> None:
    before = path.read_bytes()
    after = without_comments(before, path.name)
    assert _bare(parse_tree(after, "x").tree) == _bare(parse_tree(before, "x").tree)
    assert b"#" not in after or b"#" in before.replace(b"\n#", b"\n")


def test_a_comment_is_left_out_and_odd_values_stay() -> None:
    data = b"# secret\na: 0012345 # secret\n\"b: c\": [1E5, NO, 4:12, '']\nd: {}\ne: []\n- x\n"
    data = (
        data.removesuffix(b"- x\n")
        + b"f:\n  - g: 1\n    h:\n      - i\n  - |\n    two\n    lines\n"
    )
    after = without_comments(data, "x")
    assert b"secret" not in after
    assert _bare(parse_tree(after, "x").tree) == {
        "a": "0012345",
        "b: c": ["1E5", "NO", "4:12", ""],
        "d": {},
        "e": [],
        "f": [{"g": "1", "h": ["i"]}, "two\nlines\n"],
    }
