"""What must hold of the whole program on any of the made-up jobs, whatever its punch list says.

In: the jobs of this folder, with their order, their units, their lots or their fields changed in memory.
"""

import re
from collections.abc import Callable, Iterator
from datetime import date
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.reading.nodes import Entry, Mapping, Node, Sequence, Text
from tests.jobs.made_up import NAMES, files, job_tree, loaded, made_up, worked_out
from tests.known_good import Known, Unreadable, edited

TODAY = {
    name: date.fromisoformat(loaded(name, "expected.yaml")["days"][-1]["today"]) for name in NAMES
}
Said = set[tuple[str, str, str, tuple[str, ...]]]


def said(known: Known) -> Said:
    """Return every item without its line and its number in a list, which do change with the order."""
    return {
        (item.rule, item.verdict.value, str(item.says), tuple(sorted(item.holds)))
        for item in known.punch_list
    }


def _as_it_stands(name: str) -> Said:
    return said(made_up(name, TODAY[name]))


def _with(name: str, tree: Node) -> Said:
    return said(worked_out(name, TODAY[name], tree))


# The order in which somebody typed or filed things.


def _turned(node: Node) -> Node:
    """Return a list the other way round; a single entry is its own mirror."""
    if isinstance(node, Sequence):
        return Sequence(tuple(reversed(node.items)), node.line, node.column)
    return node


def _at(node: Node, key: str, change: Callable[[Node], Node]) -> Node:
    assert isinstance(node, Mapping)
    entry = node.entries[key]
    entries = {**node.entries, key: Entry(change(entry.value), entry.line, entry.column)}
    return Mapping(entries, node.line, node.column)


@pytest.mark.parametrize("name", NAMES)
def test_the_order_of_slopes_changes_no_item(name: str) -> None:
    turned = _at(job_tree(name), "slopes", _turned)
    assert turned != job_tree(name)
    assert _with(name, turned) == _as_it_stands(name)


@pytest.mark.parametrize("name", NAMES)
def test_the_order_of_deliveries_and_their_lines_changes_no_item(name: str) -> None:
    def lines_turned(deliveries: Node) -> Node:
        assert isinstance(deliveries, Sequence)
        each = tuple(_at(delivery, "lines", _turned) for delivery in deliveries.items)
        return _turned(Sequence(each, deliveries.line, deliveries.column))

    turned = _at(job_tree(name), "deliveries", lines_turned)
    assert turned != job_tree(name)
    assert _with(name, turned) == _as_it_stands(name)


@pytest.mark.parametrize("name", NAMES)
def test_the_order_of_photos_and_papers_changes_no_item(name: str) -> None:
    listing = files(name)
    turned = worked_out(
        name,
        TODAY[name],
        job_tree(name),
        photos=tuple(reversed(listing.photos)),
        papers=tuple(reversed(listing.papers)),
    )
    assert said(turned) == _as_it_stands(name)


# Units. The inch is 25.4 mm and the foot 0.3048 m, exactly (international yard and pound agreement, 1959).

_FEET = re.compile(r"\b(\d+(?:\.\d+)?) ft\b")
_INCHES = re.compile(r"\b(\d+(?:\.\d+)?|\d+/\d+) in\b")
_BARE = re.compile(r"\d+(?:\.\d+)?|\d+/\d+")


def _decimal(value: Fraction) -> str:
    """Return an exact decimal; fails where there is none within eight places."""
    scaled = value * 10**8
    assert scaled.denominator == 1
    whole, rest = divmod(int(scaled), 10**8)
    return f"{whole}.{rest:08d}"


def _metric(node: Node, key: str = "") -> Node:
    """Return the tree with every length in metres or millimetres."""
    if isinstance(node, Mapping):
        entries = {
            name: Entry(_metric(entry.value, name), entry.line, entry.column)
            for name, entry in node.entries.items()
        }
        return Mapping(entries, node.line, node.column)
    if isinstance(node, Sequence):
        return Sequence(tuple(_metric(item, key) for item in node.items), node.line, node.column)
    text = node.text
    if _BARE.fullmatch(text) and key.endswith("_ft"):
        text = f"{text} ft"
    if _BARE.fullmatch(text) and key.endswith("_in"):
        text = f"{text} in"
    text = _FEET.sub(lambda m: f"{_decimal(Fraction(m[1]) * Fraction('0.3048'))} m", text)
    text = _INCHES.sub(lambda m: f"{_decimal(Fraction(m[1]) * Fraction('25.4'))} mm", text)
    return Text(text, node.line, node.column)


def test_forty_feet_are_12_192_m_and_two_feet_609_6_mm() -> None:
    found = _metric(Text("rafters 24 in, eave 40 ft", 1, 1))
    assert isinstance(found, Text)
    assert found.text == "rafters 609.60000000 mm, eave 12.19200000 m"


_VENT = re.compile(r"(\d+(?:\.\d+)?) ft (.+)")


def _vents_spelled_out(node: Node, key: str = "") -> Node:
    """Return the tree with each vent that stands on one line as a group of its fields."""
    if isinstance(node, Mapping):
        entries = {
            name: Entry(_vents_spelled_out(entry.value, name), entry.line, entry.column)
            for name, entry in node.entries.items()
        }
        return Mapping(entries, node.line, node.column)
    if isinstance(node, Sequence):
        inner = tuple(_vents_spelled_out(item, key) for item in node.items)
        return Sequence(inner, node.line, node.column)
    vent = _VENT.fullmatch(node.text)
    if vent is None or key not in ("intake", "exhaust"):
        return node
    at = node.line, node.column
    length, product = Text(f"{vent[1]} ft", *at), Text(vent[2], *at)
    return Mapping({"length_ft": Entry(length, *at), "product": Entry(product, *at)}, *at)


_GROUPS = ("building", "slopes", "decks", "installation")


@pytest.mark.parametrize("name", NAMES)
def test_lengths_in_metric_give_the_same_items(name: str) -> None:
    tree = _at(job_tree(name), "building", _vents_spelled_out)
    groups = [group for group in _GROUPS if _at(tree, group, _metric) != tree]
    # A roof that was laid over has no length under installation.
    assert groups[:3] == list(_GROUPS[:3])
    for group in groups:
        tree = _at(tree, group, _metric)
    assert _with(name, tree) == _as_it_stands(name)


# code differs: the one-line form of a vent takes feet only; in metres the length is read as a count.
def test_a_vent_on_one_line_may_be_written_in_metric() -> None:
    tree = _at(job_tree("gable-ranch"), "building", _metric)
    assert _with("gable-ranch", tree) == _as_it_stands("gable-ranch")


# Lots.

_LOTS = re.compile(r", lots? (.+)$")


def _lines_with_lots(name: str) -> Iterator[tuple[list[str], str]]:
    tree = job_tree(name)
    assert isinstance(tree, Mapping)
    deliveries = tree.entries["deliveries"].value
    assert isinstance(deliveries, Sequence)
    for number, delivery in enumerate(deliveries.items):
        assert isinstance(delivery, Mapping)
        lines = delivery.entries["lines"].value
        assert isinstance(lines, Sequence)
        for index, line in enumerate(lines.items):
            assert isinstance(line, Text)
            if _LOTS.search(line.text):
                yield ["deliveries", str(number), "lines", str(index)], line.text


def _pairs(name: str, path: list[str], line: str) -> set[tuple[str, str]]:
    known = worked_out(name, TODAY[name], edited(job_tree(name), path, line))
    return {(item.rule, item.where.field or item.where.file) for item in known.punch_list}


@pytest.mark.parametrize("name", NAMES)
def test_a_lot_that_the_ticket_still_lacks_adds_no_item(name: str) -> None:
    found = list(_lines_with_lots(name))
    assert found
    for path, line in found:
        lots = _LOTS.search(line)
        assert lots is not None
        mark, _, count = lots[1].split("; ")[-1].rpartition(" x ")
        bare = line[: lots.start()]
        fewer = f"{line.removesuffix(f' x {count}')} x {int(count) - 1}"
        # No lot, the lot of one unit, all but one, all: from step to step a lot is found.
        steps = [bare, f"{bare}, lot {mark} x 1", line]
        if int(count) > 1:
            steps.insert(2, fewer)
        items = [_pairs(name, path, step) for step in steps]
        for before, after in pairwise(items):
            # The first lot turns “has no lot” into “do not add up”; one item stands for the other.
            assert len(after) <= len(before), line
            assert {rule for rule, _ in after - before} <= {"MAT-002"}, line
        assert items[-1] <= items[-2] | items[1], line


def test_a_line_without_its_lots_is_an_item() -> None:
    # The test above could not fail if lots were looked at by nobody.
    path, line = next(_lines_with_lots("gable-ranch"))
    without = _pairs("gable-ranch", path, line[: line.index(", lots ")])
    assert ("MAT-001", "deliveries.0.lines.0") in without


# Fields that nobody filled in.


def _paths(node: Node, here: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    inner: list[tuple[str, Node]] = []
    if isinstance(node, Mapping):
        inner = [(key, entry.value) for key, entry in node.entries.items()]
    elif isinstance(node, Sequence):
        inner = [(str(number), item) for number, item in enumerate(node.items)]
    for key, value in inner:
        yield (*here, key)
        yield from _paths(value, (*here, key))


def _from_the_end(path: tuple[str, ...]) -> list[tuple[int, str]]:
    """Return an order in which taking one place away moves none that is still to go."""
    return [(int(key), "") if key.isdigit() else (-1, key) for key in path]


def _judged(name: str, tree: Node) -> Known | None:
    """Return the job, or None where the record could not be read and items say why."""
    try:
        return worked_out(name, TODAY[name], tree)
    except Unreadable as unread:
        if not unread.items:
            raise
        return None


@pytest.mark.parametrize("name", NAMES)
def test_no_rule_raises_where_fields_are_missing(name: str) -> None:
    places = sorted(_paths(job_tree(name)))
    readable: list[bool] = []

    # Ten jobs with twenty versions of each; the same ones on every run.
    @settings(max_examples=20, deadline=None, derandomize=True, database=None)
    @given(st.lists(st.sampled_from(places), min_size=1, max_size=6, unique=True))
    def taken_away(gone: list[tuple[str, ...]]) -> None:
        tree = job_tree(name)
        for path in sorted(gone, key=_from_the_end, reverse=True):
            tree = edited(tree, list(path), None)
        known = _judged(name, tree)
        readable.append(known is not None)
        assert known is None or all(str(item.says) for item in known.punch_list)

    taken_away()
    assert sum(readable) >= 5, "hardly any version could be judged at all"


# A nought is a number like any other to the reader, so the rules have to bear it.


# code differs: each of these raises ValueError out of `trade`, instead of saying that it cannot tell.
@pytest.mark.parametrize(
    ("name", "path", "typed"),
    [
        ("gable-ranch", "building.attics.0.floor_area_sqft", "0"),
        ("gable-ranch", "decks", "plywood 0 in, rafters 24 in, rating 32/16, redecked no"),
        ("gable-ranch", "decks", "plywood 1/2 in, rafters 0 in, rating 32/16, redecked no"),
        ("cape-with-dormers", "installation.valley_lining_in", "0"),
        ("gable-ranch", "slopes.0", "front, faces S, 4:12, plan 48 ft x 0 ft, eave 48 ft"),
    ],
)
def test_a_typed_nought_raises_nothing(name: str, path: str, typed: str) -> None:
    known = _judged(name, edited(job_tree(name), path.split("."), typed))
    assert known is None or all(str(item.says) for item in known.punch_list)
