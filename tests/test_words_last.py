"""No room before the press reads back what it said, and none before `compose` says anything but by `say`.

Sentences are neither compared, cut nor searched. mypy refuses most of it, since `Said` is no text. What it cannot
see is a text made of one, and that is what the first walk looks for: `str(…)`, `write(…)` and the fields of
sentences. The second looks for sentences made of pieces: f-strings, `+`, `%`, `.format` and `.join`.
"""

import ast
import re
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


SAYING_ROOMS = ("trade", "assess", "rules", "case")

_WORD = re.compile(r"\b(?!(?:in|ft|sq)\b)[A-Za-z][a-z]+\b")
"""A word, and no unit of measure: a line of arithmetic is signs, figures and units."""

NO_SENTENCES = {
    "assess/levels.py: f'{level.level} level'": "A level's title: rows of several documents go by it.",
    "assess/levels.py: f'{fallback.level} level'": "The same.",
    "assess/claim.py: f'{level.level} level'": "The same.",
    "assess/claim.py: f'{fallback.level} level'": "The same.",
    "assess/supply.py: f'slope {slope.label}'": "What an input of a figure is called, as “pitch” is.",
    "case/spots.py: ', '.join(_whose(job, path.split('.')))": "A place of the record, as people call it.",
    "case/spots.py: f'{around}, entry {number + 1}'": "The same.",
    "case/spots.py: f'slope {label}'": "The same.",
    "case/spots.py: f'ticket {ticket}'": "The same.",
    "rules/untold.py: '; '.join(dict.fromkeys((item.source for item in items)))": "Published sources, one by one.",
    "trade/roof.py: f'stated {what}'": "What a figure is called where it is refused.",
    "trade/roof.py: f'computed {what}'": "The same.",
}
"""What is put together of several words and is no sentence: “file: expression” → what it is."""


def _text_of(node: ast.expr) -> str:
    """Return the text that stands in the code, with a sign of no letters for each slot."""
    if isinstance(node, ast.JoinedStr):
        return "".join(_text_of(part) or "…" for part in node.values)
    if isinstance(node, ast.BinOp):
        return _text_of(node.left) + _text_of(node.right)
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def _has_words(text: str) -> bool:
    """Return whether a text holds a word, and a blank beside one: slots may be words too."""
    return " " in text and bool(_WORD.search(text))


def _is_made(node: ast.AST) -> bool:
    if isinstance(node, ast.JoinedStr):
        return _has_words(_text_of(node))
    if isinstance(node, ast.BinOp) and isinstance(node.op, (ast.Add, ast.Mod)):
        return _has_words(_text_of(node))
    if isinstance(node, ast.AugAssign):
        return _has_words(_text_of(node.value))
    if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
        return False
    text, how = _text_of(node.func.value), node.func.attr
    if how == "join":
        # Somebody's own words, with one blank in place of several, stay his own words.
        own = text == " " and "split" in ast.unparse(node.args[0])
        return " " in text and not own
    return how == "format" and _has_words(text)


def made_of_pieces(node: ast.AST) -> Iterator[ast.AST]:
    """Yield what makes a sentence of pieces; what is raised or asserted is read by us alone."""
    if isinstance(node, (ast.Raise, ast.Assert)):
        return
    if _is_made(node):
        yield node
        return
    for child in ast.iter_child_nodes(node):
        yield from made_of_pieces(child)


def _made() -> list[str]:
    return [
        f"{path.relative_to(PACKAGE).as_posix()}: {ast.unparse(node)}"
        for room in SAYING_ROOMS
        for path in sorted((PACKAGE / room).rglob("*.py"))
        for node in made_of_pieces(ast.parse(path.read_text(encoding="utf-8")))
    ]


def test_no_room_before_compose_makes_a_sentence_of_pieces() -> None:
    assert [one for one in _made() if one not in NO_SENTENCES] == []


def test_every_text_that_is_no_sentence_is_still_there() -> None:
    assert sorted(set(NO_SENTENCES) - set(_made())) == []


@pytest.mark.parametrize(
    "source",
    [
        "f'{slope} is not on record'",
        "f'{number} days'",
        "f'by {name}'",
        "'The roof of ' + name",
        "name + ' is short'",
        "'The roof of %s is short' % name",
        "'{} is short'.format(name)",
        "', '.join(names)",
        "' '.join(sentences)",
        "text += ' and the rest'",
        "say(f'{slope} is short')",
        "say('It is ' + what)",
    ],
)
def test_the_walk_sees_each_way_of_making_a_sentence(source: str) -> None:
    assert list(made_of_pieces(ast.parse(source)))


@pytest.mark.parametrize(
    "source",
    [
        "say('{slope} is short', slope=slope)",
        "f'deliveries.{number}.lines'",
        "f'IRC {edition} R905.2.2'",
        "f'{laid} - {wrap} = {net}'",
        "raise ValueError(f'{days} days, needed zero or more')",
        "assert known, f'{rule} does not say what it rests on'",
        "' '.join(name.lower().split())",
        "'a word beside ' 'another'",
    ],
)
def test_the_walk_lets_values_paths_and_figures_be(source: str) -> None:
    assert list(made_of_pieces(ast.parse(source))) == []
