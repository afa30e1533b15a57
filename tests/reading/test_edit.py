"""A group set in a list of a hand-written file, every other line as it was.

The outside judge of what a text means is PyYAML with every scalar as text; of what was kept, the bytes
themselves.
"""

from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from dossier.errors import UnreadableInput
from dossier.reading.edit import Put, put_in_list

BY, ON = "Ida Torvik", "2026-09-20"
LOOK = {"by": BY, "on": ON, "note": "six nails in each shingle"}
A = Put("file", "photos/a.jpg", "reviewed", LOOK)
B = Put("file", "photos/b.jpg", "reviewed", LOOK)
ADDED = [
    "    reviewed:",
    f"      by: {BY}",
    f"      on: {ON}",
    "      note: six nails in each shingle",
]

BY_HAND = """\
# What there is to say about single photos.      Ask Piet for the rest.

photos:
  # the good one
  - file:    photos/a.jpg     # from the ridge
    caption: "Six nails: all in the line"

  - file: photos/b.jpg
    caption: 0012345
    slope: 1E5
    phase: yes
    received_from: 'crew phone 2'
    received_on:   2026-09-15   # by message

  # photos/c.jpg is still on Jens's phone
# end
"""


def as_text(data: bytes) -> Any:
    """Return what a file says, every scalar as typed, by another library."""
    return yaml.load(data.decode("utf-8-sig"), Loader=yaml.BaseLoader)


def put(text: str | bytes | None, *puts: Put, name: str = "photos") -> bytes:
    data = text.encode() if isinstance(text, str) else text
    return put_in_list(data, "photos.yaml", name, puts)


def test_only_new_lines_are_added_and_they_stand_in_their_entry() -> None:
    before, after = BY_HAND.split("\n"), put(BY_HAND, A).decode().split("\n")
    at = before.index('    caption: "Six nails: all in the line"') + 1
    assert after == before[:at] + ADDED + before[at:]


def test_an_entry_is_added_behind_the_last_and_above_the_comments_at_the_end() -> None:
    before = BY_HAND.split("\n")
    after = put(BY_HAND, Put("file", "photos/z.jpg", "reviewed", LOOK)).decode().split("\n")
    at = before.index("    received_on:   2026-09-15   # by message") + 1
    assert after == [*before[:at], "  - file: photos/z.jpg", *ADDED, *before[at:]]


def test_several_at_once_are_what_they_are_one_by_one() -> None:
    assert put(BY_HAND, A, B) == put(put(BY_HAND, A), B) == put(put(BY_HAND, B), A)


def test_a_second_time_changes_nothing() -> None:
    once = put(BY_HAND, A, B)
    assert put(once, A, B) == once
    assert put(once, A) == once


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["", "BOM"])
@pytest.mark.parametrize("end", ["\n", "\r\n"], ids=["LF", "CRLF"])
@pytest.mark.parametrize("last", ["", "\n"], ids=["no end", "end"])
def test_line_ends_and_byte_order_mark_survive(mark: bytes, end: str, last: str) -> None:
    text = BY_HAND.rstrip("\n") + last
    after = put(mark + text.replace("\n", end).encode(), A)
    assert after.startswith(mark)
    body = after.removeprefix(mark).decode()
    assert body.replace(end, "\n") == put(text, A).decode()
    if end == "\r\n":
        assert body.count("\n") == body.count("\r\n")
    unmarked = body.split(end)
    assert [line for line in text.split("\n") if line not in unmarked] == []


def test_a_mix_of_line_ends_is_left_as_it_is() -> None:
    text = BY_HAND.replace("caption: 0012345\n", "caption: 0012345\r\n")
    after = put(text, A).decode()
    assert "caption: 0012345\r\n    slope: 1E5\n" in after


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (None, "photos:\n  - file: photos/a.jpg\n{}"),
        ("photos:\n", "photos:\n  - file: photos/a.jpg\n{}"),
        ("photos:   # none yet\n", "photos:   # none yet\n  - file: photos/a.jpg\n{}"),
        # The list's own indent is taken over.
        ("photos:\n- file: photos/a.jpg\n", "photos:\n- file: photos/a.jpg\n{-2}"),
        ("photos:\n  -   file: photos/a.jpg", "photos:\n  -   file: photos/a.jpg\n{+2}"),
        # A note that is there already is replaced, short or long, and a blank one is filled in.
        ("photos:\n  - file: photos/a.jpg\n    reviewed: P, 2026-01-02\n    slope: back\n",
         "photos:\n  - file: photos/a.jpg\n{}    slope: back\n"),
        ("photos:\n  - file: photos/a.jpg\n    reviewed:\n      by: P\n    slope: back\n",
         "photos:\n  - file: photos/a.jpg\n{}    slope: back\n"),
        ("photos:\n  - file: photos/a.jpg\n    reviewed:\n    slope: back\n",
         "photos:\n  - file: photos/a.jpg\n{}    slope: back\n"),
        # Where a file is listed twice, the later entry counts.
        ("photos:\n  - file: photos/a.jpg\n  - file: photos/a.jpg\n    slope: x\n",
         "photos:\n  - file: photos/a.jpg\n  - file: photos/a.jpg\n    slope: x\n{}"),
        # A lone entry stands for a list of one.
        ("photos:\n  file: photos/a.jpg\n", "photos:\n  file: photos/a.jpg\n{-2}"),
        # A text over several lines stays over several lines.
        ("photos:\n  - file: photos/b.jpg\n    caption: 'one\n      two'\n  - file: photos/a.jpg\n",
         "photos:\n  - file: photos/b.jpg\n    caption: 'one\n      two'\n  - file: photos/a.jpg\n{}"),
        ("photos:\n  - file: photos/a.jpg\n    caption: |\n      # one\n      two\n",
         "photos:\n  - file: photos/a.jpg\n    caption: |\n      # one\n      two\n{}"),
        # What looks like a comment is the last line of a text here.
        ("photos:\n  - file: photos/a.jpg\n    caption: |\n      one\n      # two\n",
         "photos:\n  - file: photos/a.jpg\n    caption: |\n      one\n      # two\n{}"),
    ],
)  # fmt: skip
def test_in_every_way_a_list_is_written_by_hand(before: str | None, after: str) -> None:
    block = "\n".join(ADDED) + "\n"
    for mark, step in (("{}", 0), ("{-2}", -2), ("{+2}", 2)):
        moved = "".join(f"{' ' * (step + 4)}{line[4:]}\n" for line in block.splitlines())
        after = after.replace(mark, moved)
    assert put(before, A).decode() == after


def test_an_entry_on_one_line_stays_on_one_line() -> None:
    text = "photos:\n  - {file: photos/a.jpg,   slope: 1E5}\n  - { file: photos/b.jpg }\n"
    after = put(text, A)
    assert after.decode().count("\n") == 3
    assert b"  - { file: photos/b.jpg }\n" in after
    [one, _] = as_text(after)["photos"]
    assert one == {"file": "photos/a.jpg", "slope": "1E5", "reviewed": LOOK}


def test_texts_that_look_like_yaml_are_read_back_as_they_were_given() -> None:
    for text in ("a: b", "# no", "- x", "'", '"', "0012345", "1E5", "yes", "{a}", "*a", "&b", "!c",
                 "é – ½ 12″", "%x", "@y", "a #b", "null", "~", "|", ">-", "[", ": "):  # fmt: skip
        group = {"by": text.strip(), "on": ON}
        after = put(BY_HAND, Put("file", "photos/a.jpg", "reviewed", group))
        assert as_text(after)["photos"][0]["reviewed"] == group


@pytest.mark.parametrize(
    "text",
    [
        "photos: n/a, no camera\n",
        "photos: one\n",
        "- file: photos/a.jpg\n",
        "photos:\n  file: photos/other.jpg\n",
        "photos: &x\n  - file: photos/a.jpg\n",
        "photos:\n  - file: !a photos/a.jpg\n",
        "photos:\n  - file: a\n    file: b\n",
        "photos: [\n",
        "photos:\n--- \nphotos:\n",
        "",
        "# only a comment\n",
    ],
)
def test_what_cannot_be_added_to_is_refused(text: str) -> None:
    with pytest.raises(UnreadableInput) as refused:
        put(text, A)
    assert refused.value.message.startswith("photos.yaml ")


def test_a_file_that_is_not_text_is_refused() -> None:
    with pytest.raises(UnreadableInput, match="not UTF-8"):
        put(b"photos:\n  - file: \xff\n", A)


def test_another_list_of_a_longer_file_is_added_at_its_end() -> None:
    text = "record: 1   # first\nnotes:\n  - one\n\n# closing words\n"
    after = put(text, Put("file", "papers/x.pdf", "reviewed", {"by": BY, "on": ON}), name="papers")
    assert after.decode() == (
        "record: 1   # first\nnotes:\n  - one\npapers:\n  - file: papers/x.pdf\n    reviewed:\n"
        f"      by: {BY}\n      on: {ON}\n\n# closing words\n"
    )


_WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1)
_GAPS = st.sampled_from(["", "\n", "    # said by hand\n", "\n  # next\n\n"])
_ENTRIES = st.lists(
    st.tuples(st.integers(0, 30), st.lists(_WORDS, max_size=3, unique=True), _GAPS), max_size=8
)


@given(_ENTRIES, st.integers(0, 30), st.sampled_from(["\n", "\r\n"]))
def test_whatever_was_typed_is_kept(
    entries: list[tuple[int, list[str], str]], number: int, end: str
) -> None:
    rows = ["# top\nphotos:\n"]
    for at, words, gap in entries:
        rows.append(f"  - file: photos/{at}.jpg\n")
        for n, word in enumerate(words):
            quoted = "'" + word.replace("'", "''") + "'"
            rows.append(f"    field_{n}:  {quoted}\n")
        rows.append(gap)
    before = "".join(rows).replace("\n", end).encode()
    file = f"photos/{number}.jpg"
    after = put(before, Put("file", file, "reviewed", LOOK))
    old, new = as_text(before)["photos"] or [], as_text(after)["photos"]
    listed_at = [n for n, entry in enumerate(old) if entry["file"] == file]
    wanted = [dict(entry) for entry in old]
    if not listed_at:
        wanted.append({"file": file})
    wanted[listed_at[-1] if listed_at else -1]["reviewed"] = LOOK
    assert new == wanted
    # Nothing that was typed is gone or in another order.
    left = iter(after.split(end.encode()))
    assert all(line in left for line in before.split(end.encode()))
