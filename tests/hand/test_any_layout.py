"""Any value of a file in any layout: set, added or taken away, it reads as just that and no other line is touched.

The outside judge of what a text says, and of the lines on which a value stands, is PyYAML with every scalar as
text; what should come of a change is worked out here on plain dicts and lists.
"""

import copy
import json
import random
from collections.abc import Iterator
from typing import Any

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.hand.means import Change
from dossier.hand.text import with_changes
from dossier.reading.kinds import Line
from dossier.reading.model import Model, told
from tests.record.strategies import plain_texts


class Thing(Model):
    """A group of every shape: a text, a list of texts, a group, a list of groups."""

    a: Line | None = told("A text.")
    b: Line | None = told("A text.")
    words: tuple[Line, ...] = told("Texts.", default=())
    inner: "Thing | None" = told("A group.")
    things: tuple["Thing", ...] = told("Groups.", default=())


TEXTS = plain_texts.map(lambda text: " ".join(text.split())).filter(bool)
LEAST = st.fixed_dictionaries({}, optional={"a": TEXTS, "b": TEXTS | st.just("")})
THINGS = st.recursive(
    LEAST,
    lambda inner: st.fixed_dictionaries(
        {},
        optional={
            "a": TEXTS | st.just(""),
            "words": st.lists(TEXTS, max_size=3),
            "inner": inner,
            "things": st.lists(inner, max_size=3),
        },
    ),
    max_leaves=6,
)


def as_text(text: str) -> Any:
    """Return what a text says, every scalar as typed, by another library."""
    return yaml.load(text, Loader=yaml.BaseLoader)


# --- a value typed in one of the ways in which people type ---------------------------------------


class Typist:
    """Types a value by chance: quotes, braces, dashes near or far, comments and gaps."""

    def __init__(self, chance: random.Random) -> None:
        self.chance = chance

    def scalar(self, text: str, in_flow: bool) -> str:
        """Return a text in one of its forms; a blank may be nothing at all."""
        if not text:
            return self.chance.choice(["", '""', "''"]) if not in_flow else '""'
        forms = [json.dumps(text, ensure_ascii=False), "'" + text.replace("'", "''") + "'"]
        trial = f"[{text}, {{k: {text}}}]" if in_flow else f"- {text}\n- k: {text}\n"
        try:
            if as_text(trial) == [text, {"k": text}]:
                forms = [text, *forms]
        except yaml.YAMLError:
            pass
        return self.chance.choice(forms)

    def flow(self, value: Any) -> str:
        """Return a value in braces and brackets."""
        gap = self.chance.choice(["", " "])
        if isinstance(value, str):
            return self.scalar(value, True)
        if isinstance(value, list):
            return f"[{gap}{', '.join(map(self.flow, value))}{gap}]"
        return f"{{{gap}{', '.join(f'{k}: {self.flow(part)}' for k, part in value.items())}{gap}}}"

    def field(self, head: str, value: Any, pad: str, dash: bool) -> Iterator[str]:
        """Yield the lines of a value behind a head such as `a:` or `-`."""
        comment = self.chance.choice(["", "", "   # said by hand"])
        if isinstance(value, str):
            long = len(value) > 3 and value.isascii() and value.isalnum()
            if long and self.chance.random() < 0.3:
                yield f"{head} |-{comment}"
                yield f"{pad}  {value}"
            elif " " in value and value.replace(" ", "").isalnum() and self.chance.random() < 0.3:
                first, _, rest = value.partition(" ")
                yield f'{head} "{first}'
                yield f'{pad}    {rest}"{comment}'
            else:
                yield f"{head} {self.scalar(value, False)}".rstrip() + comment
        elif not value or self.chance.random() < 0.2:
            yield f"{head} {self.flow(value)}{comment}"
        elif dash and isinstance(value, dict):
            wide = self.chance.choice([" ", "   "])
            rows = list(self.group(value, pad + " " * (1 + len(wide))))
            yield f"{head}{wide}{rows[0].lstrip()}"
            yield from rows[1:]
        else:
            yield head + comment
            near = isinstance(value, list) and self.chance.random() < 0.3
            inner = pad if near and not dash else pad + "  "
            yield from self.block(value, inner)

    def block(self, value: Any, pad: str) -> Iterator[str]:
        """Yield a list or group with a line for each."""
        if isinstance(value, dict):
            yield from self.group(value, pad)
            return
        for part in value:
            yield from self.field(f"{pad}-", part, pad, True)
            yield from self.between(pad)

    def group(self, value: dict[str, Any], pad: str) -> Iterator[str]:
        """Yield the fields of a group."""
        for number, (name, part) in enumerate(value.items()):
            if number:
                yield from self.between(pad)
            yield from self.field(f"{pad}{name}:", part, pad, False)

    def between(self, pad: str) -> Iterator[str]:
        """Yield now and then a comment or a gap."""
        yield from self.chance.choice(
            [[], [], [], [""], [f"{pad}# next"], ["# at the margin"], [f"{pad} # further in"]]
        )


# --- what may be done ---------------------------------------------------------------------------


def paths(value: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Yield the path of every value below the outermost group."""
    parts = value.items() if isinstance(value, dict) else enumerate(value)
    for name, part in parts if not isinstance(value, str) else ():
        yield (*path, str(name))
        yield from paths(part, (*path, str(name)))


def step(value: Any, name: str) -> Any:
    """Return one part of a value."""
    return value[int(name)] if isinstance(value, list) else value[name]


def parent(value: Any, path: tuple[str, ...]) -> Any:
    """Return the group or list around the value at a path."""
    for name in path[:-1]:
        value = step(value, name)
    return value


def lines_of(text: str, path: tuple[str, ...]) -> tuple[int, int]:
    """Return the first and the last line of a value and its name or dash, by another library."""
    node: Any = yaml.compose(text, Loader=yaml.BaseLoader)
    first, last = 0, 0
    for name in path:
        if isinstance(node, yaml.MappingNode):
            key, node = next(pair for pair in node.value if pair[0].value == name)
            first = key.start_mark.line
        else:
            node = node.value[int(name)]
            first = node.start_mark.line
    last = last_line(node)
    return first, last


def last_line(node: Any) -> int:
    """Return the last line on which something of a node stands."""
    if isinstance(node, yaml.ScalarNode) or node.flow_style or not node.value:
        behind = isinstance(node, yaml.ScalarNode) and node.style in ("|", ">")
        return int(node.end_mark.line) - behind
    part = node.value[-1]
    return max(last_line(one) for one in (part if isinstance(part, tuple) else (part,)))


def typed(value: Any, seed: int, end: str, mark: str) -> tuple[str, bytes]:
    """Return a value as somebody typed it: with plain line ends, and as bytes."""
    text = "\n".join(Typist(random.Random(seed)).group(value, "")) + "\n"
    assert as_text(text) == value, text
    return text, (mark + text.replace("\n", end)).encode()


def told_lines(after: bytes, end: str, mark: str) -> list[str]:
    """Return the lines of what was written, once line ends and mark are seen to be kept."""
    text = after.decode()
    assert text.startswith(mark)
    body = text.removeprefix(mark)
    assert "\ufeff" not in body
    assert body.count("\n") == body.count(end)
    return body.replace(end, "\n").split("\n")


FILES = st.tuples(
    THINGS.filter(bool), st.integers(0, 2**32), st.sampled_from(["\n", "\r\n"]), st.sampled_from(["", "\ufeff"])
)  # fmt: skip


@settings(deadline=None)
@given(FILES, st.data())
def test_a_value_that_is_set_reads_and_only_its_lines_change(
    file: tuple[Any, int, str, str], data: st.DataObject
) -> None:
    value, seed, end, mark = file
    text, before = typed(value, seed, end, mark)
    path = data.draw(st.sampled_from(sorted(paths(value))))
    around = parent(value, path)
    is_group = path[-1] in ("inner",) or (isinstance(around, list) and path[-2] == "things")
    is_list = path[-1] in ("words", "things")
    lists = {"words": st.lists(TEXTS, max_size=2), "things": st.lists(LEAST, max_size=2)}
    new = data.draw(THINGS if is_group else lists[path[-1]] if is_list else TEXTS)
    after = with_changes(before, "x.yaml", Thing, [Change(path, new)])
    wanted = copy.deepcopy(value)
    inside = parent(wanted, path)
    inside[int(path[-1]) if isinstance(inside, list) else path[-1]] = new
    lines = told_lines(after, end, mark)
    assert as_text("\n".join(lines)) == wanted
    old = text.split("\n")
    first, last = lines_of(text, path)
    assert lines[:first] == old[:first]
    assert lines[len(lines) - len(old) + last + 1 :] == old[last + 1 :]


@settings(deadline=None)
@given(FILES, st.data())
def test_a_value_that_is_taken_away_is_gone_and_nothing_else(
    file: tuple[Any, int, str, str], data: st.DataObject
) -> None:
    value, seed, end, mark = file
    text, before = typed(value, seed, end, mark)
    path = data.draw(st.sampled_from(sorted(paths(value))))
    after = with_changes(before, "x.yaml", Thing, [Change(path, None)])
    wanted = copy.deepcopy(value)
    inside = parent(wanted, path)
    del inside[int(path[-1]) if isinstance(inside, list) else path[-1]]
    lines = told_lines(after, end, mark)
    assert as_text("\n".join(lines)) == wanted
    kept = iter(lines)
    first, last = lines_of(text, path)
    around = parent(value, path)
    if len(around) > 1 and path[-1] not in ("0", next(iter(around))):
        old = text.split("\n")
        margin = indent(old[first])
        # A comment further in belongs to what it follows, and goes with it.
        while old[last + 1 :] and old[last + 1].lstrip(" ").startswith("#"):
            if indent(old[last + 1]) <= margin:
                break
            last += 1
        assert all(line in kept for line in old[:first] + old[last + 1 :])


def indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


@settings(deadline=None)
@given(FILES, st.data())
def test_a_value_that_is_added_reads_and_every_line_stays(
    file: tuple[Any, int, str, str], data: st.DataObject
) -> None:
    value, seed, end, mark = file
    text, before = typed(value, seed, end, mark)
    spots = [path for path in paths(value) if path[-1] in ("words", "things")]
    groups = [(), *(p for p in paths(value) if isinstance(step(parent(value, p), p[-1]), dict))]
    fields = [
        (*path, name)
        for path in groups
        for name in ("a", "b", "words", "inner", "things")
        if name not in (step(parent(value, path), path[-1]) if path else value)
    ]
    lists = [(*p, str(len(step(parent(value, p), p[-1])))) for p in spots]
    path = data.draw(st.sampled_from(sorted(fields + lists)))
    few = {"words": st.lists(TEXTS, max_size=2), "things": st.lists(THINGS, max_size=2)}
    names = {**few, "inner": THINGS}
    of_list = {"words": TEXTS, "things": THINGS}
    new = data.draw(of_list[path[-2]] if path[-1].isdigit() else names.get(path[-1], TEXTS))
    after = with_changes(before, "x.yaml", Thing, [Change(path, new)])
    wanted = copy.deepcopy(value)
    inside = parent(wanted, path)
    if isinstance(inside, list):
        inside.append(new)
    else:
        inside[path[-1]] = new
    lines = told_lines(after, end, mark)
    assert as_text("\n".join(lines)) == wanted
    node: Any = yaml.compose(text, Loader=yaml.BaseLoader)
    for name in path[:-1]:
        pairs = node.value
        node = (
            next(part for key, part in pairs if key.value == name)
            if isinstance(node, yaml.MappingNode)
            else pairs[int(name)]
        )
    if not node.flow_style:
        kept = iter(lines)
        assert all(line in kept for line in text.split("\n"))
