"""No room before the press reads back what it said: sentences are neither compared, cut nor searched.

mypy refuses most of it, since `Said` is no text. What it cannot see is a text made of one, and that is what
this walk looks for: `str(…)`, `write(…)` and the fields of printed sentences.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "dossier"
ROOMS = ("trade", "assess", "rules", "case", "compose")

SENTENCES = frozenset(
    {"says", "why", "remedy", "asks", "told", "outside", "because", "reserve", "text", "label"}
)
"""Fields that hold a sentence, a clause or a label."""

READS_BACK = frozenset(
    (
        *("replace", "removeprefix", "removesuffix", "startswith", "endswith", "split", "rsplit"),
        *("splitlines", "partition", "rpartition", "find", "rfind", "index", "count", "translate"),
        *("match", "search", "fullmatch", "sub", "subn", "findall", "finditer"),
    )
)

NOT_OURS = {
    "rules/wind.py: result.conditions.outside[0]": "What lies outside a test's conditions, one by one.",
    "compose/parts/attic_words.py: self._check.asks[number]": "The ratios that the code asks for.",
}
"""What stands in such a field and is no sentence of ours: “file: expression” → what it is."""

_NOT_SENTENCES = {"label": {"slope", "s", "result", "row"}, "text": {"ref", "reference"}}
"""A slope's label is the record's own word, a reference's text a file or a place; both by the names they go by."""


def _is_said(node: ast.expr) -> bool:
    if isinstance(node, ast.Call):
        return isinstance(node.func, ast.Name) and node.func.id in ("str", "write")
    if isinstance(node, ast.JoinedStr):
        parts = (part.value for part in node.values if isinstance(part, ast.FormattedValue))
        return any(_is_said(part) for part in parts)
    if not isinstance(node, ast.Attribute) or node.attr not in SENTENCES:
        return False
    of = node.value.id if isinstance(node.value, ast.Name) else ""
    return of not in _NOT_SENTENCES.get(node.attr, ())


def read_back(source: str) -> Iterator[tuple[int, str]]:
    """Yield line and expression wherever a sentence is compared, cut or searched."""
    for node in ast.walk(ast.parse(source)):
        found: list[ast.expr] = []
        if isinstance(node, ast.Compare):
            # That a sentence is None, or one of several values, is no look into its words.
            words = [op for op in node.ops if not isinstance(op, (ast.Is, ast.IsNot))]
            found = [side for side in (node.left, *node.comparators) if words]
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            if node.func.attr in READS_BACK:
                found = [node.func.value, *node.args]
        elif isinstance(node, ast.Subscript):
            found = [node.value]
        if any(_is_said(one) for one in found):
            yield getattr(node, "lineno", 0), ast.unparse(node)


def _all() -> list[str]:
    return [
        f"{path.relative_to(PACKAGE).as_posix()}: {expression}"
        for room in ROOMS
        for path in sorted((PACKAGE / room).rglob("*.py"))
        for _, expression in read_back(path.read_text(encoding="utf-8"))
    ]


def test_no_room_before_the_press_reads_back_a_sentence() -> None:
    assert [one for one in _all() if one not in NOT_OURS] == []


def test_every_exception_is_still_there() -> None:
    assert sorted(set(NOT_OURS) - set(_all())) == []


@pytest.mark.parametrize(
    "source",
    [
        "str(item.says) == 'x'",
        "'x' in str(item.says)",
        "file in str(item.outside)",
        "str(item.says).replace(' in papers/', '')",
        "str(item.says).removeprefix('To chase: ')",
        "re.match('x', str(said))",
        "PATTERN.search(item.why)",
        "str(said)[:1].lower()",
        "result.because != LOTS_SEEN",
        "pair.label == 'Passes on'",
        "write(value).startswith('how ')",
        "f'{str(item.says)}'.split()",
    ],
)
def test_the_walk_sees_each_way_of_reading_back(source: str) -> None:
    assert list(read_back(source))


@pytest.mark.parametrize(
    "source",
    ["str(item.says)", "item.told is None", "item.says.get('file')", "f'{str(item.says)}.'"],
)
def test_the_walk_lets_printing_and_values_be(source: str) -> None:
    assert list(read_back(source)) == []
