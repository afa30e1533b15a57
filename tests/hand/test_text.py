"""One value of a hand-written file changed, every other line as it was.

The outside judge of what a text means is PyYAML with every scalar as text; of what was kept, the bytes
themselves.
"""

import re
from collections.abc import Callable
from pathlib import Path
from time import process_time
from typing import Any

import pytest
import yaml

from dossier.errors import DossierError, UnreadableInput
from dossier.hand import text as hand_text
from dossier.hand.means import Change, Form, meaning
from dossier.hand.text import with_changes
from dossier.reading.model import Model, read_model
from dossier.reading.nodes import parse_tree
from dossier.reading.typed import Value
from dossier.record.fields import leaves
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.record.trees import put as put_in_tree
from dossier.record.trees import text_node
from tests.known_good import DEMO, GOOD_JOB

BY, ON = "Ida Torvik", "2026-09-20"
LOOK = {"by": BY, "on": ON, "note": "six nails in each shingle"}
A, B = "photos/a.jpg", "photos/b.jpg"
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
    phase: field
    received_from: 'crew phone 2'
    received_on:   2026-09-15   # by message

  # photos/c.jpg is still on Jens's phone
# end
"""


def as_text(data: bytes) -> Any:
    """Return what a file says, every scalar as typed, by another library."""
    return yaml.load(data.decode("utf-8-sig"), Loader=yaml.BaseLoader)


def put(text: str | bytes | None, *looks: str, group: dict[str, str] = LOOK) -> bytes:
    """Return a photo list with a look noted at each of these files, the later entry where one is listed twice."""
    data = text.encode() if isinstance(text, str) else text
    for file in looks:
        tree = parse_tree(data or b"", "photos.yaml").tree
        said = meaning(tree, Form(PhotoList)) if tree else {}
        assert isinstance(said, dict)
        files = [row["file"] for row in said.get("photos") or [] if isinstance(row, dict)]
        at = max((n for n, one in enumerate(files) if one == file), default=None)
        path = ("photos", str(len(files))) if at is None else ("photos", str(at), "reviewed")
        entry: dict[str, Value] = {"file": file, "reviewed": group}
        data = write(data, Change(path, entry if at is None else group))
    assert data is not None
    return data


def write(
    data: str | bytes | None,
    *changes: Change,
    file: str = "photos.yaml",
    model: type[Model] = PhotoList,
) -> bytes:
    """Return the file with these changes made."""
    return with_changes(data.encode() if isinstance(data, str) else data, file, model, changes)


def test_only_new_lines_are_added_and_they_stand_in_their_entry() -> None:
    before, after = BY_HAND.split("\n"), put(BY_HAND, A).decode().split("\n")
    at = before.index('    caption: "Six nails: all in the line"') + 1
    assert after == before[:at] + ADDED + before[at:]


@pytest.mark.parametrize(
    ("text", "path", "left"),
    [
        # An indented comment belongs to the entry above it, and goes with it.
        (
            "owners:\n- name: Ada Former  # sold 2024\n    # 555-0100, pays late\n- name: Bo New\n",
            ("owners", "0"),
            "owners:\n- name: Bo New\n",
        ),
        (
            "job:\n  number: 1\n  crew: north\n    # their van is red\n  # of the house\n  address: 4 Elm\n",
            ("job", "crew"),
            "job:\n  number: 1\n  # of the house\n  address: 4 Elm\n",
        ),
        # In brackets too, a comment on the one before stays.
        (
            "job: {number: 1, address: 4 Elm, # corner lot\n  crew: north}\n",
            ("job", "crew"),
            "job: {number: 1, address: 4 Elm # corner lot\n  }\n",
        ),
    ],
)
def test_what_is_taken_away_takes_its_own_comments_and_no_other(
    text: str, path: tuple[str, ...], left: str
) -> None:
    assert with_changes(text.encode(), "job.yaml", Job, [Change(path, None)]).decode() == left


def test_an_entry_is_added_behind_the_last_and_above_the_comments_at_the_end() -> None:
    before = BY_HAND.split("\n")
    after = put(BY_HAND, "photos/z.jpg").decode().split("\n")
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
        after = put(BY_HAND, A, group=group)
        assert as_text(after)["photos"][0]["reviewed"] == group


@pytest.mark.parametrize(
    "text",
    [
        "photos: n/a, no camera\n",
        "- file: photos/a.jpg\n",
        "photos:\n  file: photos/other.jpg\n",
        "photos: &x\n  - file: photos/a.jpg\n",
        "photos:\n  - file: !a photos/a.jpg\n",
        "photos:\n  - file: a\n    file: b\n",
        "photos:\n\t- file: a\n",
        "? photos\n: - file: a\n",
        "photos: [\n",
        "photos:\n--- \nphotos:\n",
        "photos:\n...\n",
    ],
)
def test_what_cannot_be_added_to_is_refused(text: str) -> None:
    with pytest.raises(DossierError) as refused:
        write(text, Change(("photos", "1"), {"file": "photos/a.jpg"}))
    assert "photos.yaml" in refused.value.message
    assert refused.value.remedy


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n", "# no end", "\ufeff"])
def test_a_file_that_says_nothing_yet_keeps_what_stands_there(text: str) -> None:
    after = write(text, Change(("photos", "0", "file"), A)).decode()
    assert after.startswith(text.rstrip())
    assert after.endswith("photos:\n  - file: photos/a.jpg\n")


@pytest.mark.parametrize("text", ["photos:\r\n  - file: a\r", "photos:\r\n  - file: a"])
def test_a_last_line_without_a_whole_end_takes_a_line_below_it(text: str) -> None:
    after = write(text, Change(("photos", "0", "caption"), "x")).decode()
    assert after.startswith("photos:\r\n  - file: a\r\n    caption: x\r")


def test_a_file_that_is_not_text_is_refused() -> None:
    with pytest.raises(UnreadableInput, match="not UTF-8"):
        put(b"photos:\n  - file: \xff\n", A)


def test_a_new_field_stands_where_the_record_has_it() -> None:
    text = "record: 1   # first\njob:\n  number: 1\nnotes:\n  - one\n\n# closing words\n"
    after = write(text, Change(("papers", "0", "file"), "papers/x.pdf"), file="job.yaml", model=Job)
    assert after.decode() == text.replace("notes:", "papers:\n  - file: papers/x.pdf\nnotes:")


DEMO_JOBS = sorted(DEMO.glob("*/job.yaml"))


@pytest.mark.parametrize("path", DEMO_JOBS, ids=lambda path: path.parent.name)
def test_a_changed_day_is_one_changed_line_in_every_short_form(path: Path) -> None:
    """Every single day of a record, most of them in the middle of a one-line form."""
    before = path.read_bytes()
    tree = parse_tree(before, "job.yaml").tree
    assert tree is not None
    spots = [
        spot for spot in leaves(tree, "job.yaml") if re.fullmatch(r"20\d\d-\d\d-\d\d", spot.text)
    ]
    assert len(spots) > 5
    for spot in spots:
        after = write(before, Change(spot.path, "2026-10-19"), file="job.yaml", model=Job)
        new = parse_tree(after, "job.yaml").tree
        assert new is not None
        wanted = read_model(
            put_in_tree(tree, "job.yaml", spot.path, text_node("2026-10-19")), "job.yaml", Job
        )
        assert read_model(new, "job.yaml", Job).model == wanted.model
        old_lines, new_lines = before.splitlines(), after.splitlines()
        assert len(old_lines) == len(new_lines)
        changed = [(a, b) for a, b in zip(old_lines, new_lines, strict=True) if a != b]
        assert len(changed) == (spot.text != "2026-10-19")


def test_many_changes_at_once_are_what_they_are_one_by_one() -> None:
    before = (GOOD_JOB / "job.yaml").read_bytes()
    changes = [
        Change(("work", "0", "days"), "2026-09-13"),
        # On the same line, behind the last entry, and resting on the one before.
        Change(("work", "0", "checked_by"), "Jens Aberg"),
        Change(("notes", "0"), "one"),
        Change(("notes", "1"), "two"),
        Change(("deliveries", "0"), None),
        Change(("deliveries", "0", "on"), "2026-09-15"),
        Change(("job", "crew"), "north"),
    ]
    once = write(before, *changes, file="job.yaml", model=Job)
    one_by_one = before
    for change in changes:
        one_by_one = write(one_by_one, change, file="job.yaml", model=Job)
    assert once == one_by_one != before


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: text.replace("0012345", "5349"),
        lambda text: text.replace("    slope: 1E5\n", ""),
        lambda text: text + "    caption: x\n",
        lambda text: text.replace("photos:", "photos: [", 1),
    ],
)
def test_a_text_in_which_anything_else_changed_is_never_returned(
    monkeypatch: pytest.MonkeyPatch, spoil: Callable[[str], str]
) -> None:
    really = hand_text._cut
    monkeypatch.setattr(hand_text, "_cut", lambda *given: spoil(really(*given)))
    with pytest.raises(UnreadableInput, match="cannot be changed by itself"):
        put(BY_HAND, A)


def test_as_many_changes_as_a_record_has_lines_are_made_at_once() -> None:
    """One after the other would read the whole file each time: a minute for two hundred."""
    rows = "".join(f"  - file: photos/field/{n}.jpg\n    caption: x\n\n" for n in range(300))
    changes = [Change(("photos", str(n), "reviewed"), LOOK) for n in range(300)]
    began = process_time()
    after = write(f"photos:\n{rows}", *changes)
    assert process_time() - began < 15
    assert as_text(after)["photos"][299]["reviewed"] == LOOK


@pytest.mark.parametrize(
    ("value", "line"),
    [
        ("vintermark", "  locality: vintermark   # the name of a sheet"),
        ("a name that is longer", "  locality: a name that is longer # the name of a sheet"),
    ],
)
def test_a_comment_behind_a_blank_that_is_filled_in_keeps_its_column(value: str, line: str) -> None:
    text = "record: 1\njob:\n  number: 1\n  address: a\n  locality:              # the name of a sheet\n"
    after = write(text, Change(("job", "locality"), value), file="job.yaml", model=Job)
    assert after.decode().splitlines()[-1] == line


SHORT = "owners: Marit Ekdahl, 555-0141   # home\nwork:\n  - 2026-09-14, deck, on front + back\n"


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [
        ("owners.0.phone", "555-0199", "owners: Marit Ekdahl, 555-0199   # home"),
        ("owners.0.phone", None, "owners: Marit Ekdahl   # home"),
        (
            "owners.0.email",
            "m@example.com",
            "owners: Marit Ekdahl, 555-0141, m@example.com   # home",
        ),
        ("work.0.slopes.1", "left", "  - 2026-09-14, deck, on front + left"),
        ("work.0.slopes.2", "left", "  - 2026-09-14, deck, on front + back + left"),
        ("work.0.phases.1", "field", None),
        ("owners.1", "Jens", "owners:   # home"),
        ("owners.0.kind", "trust", "owners:   # home"),
    ],
)
def test_a_line_that_stands_for_a_group_stays_one_where_it_can(
    path: str, value: str | None, line: str | None
) -> None:
    text = f"record: 1\njob:\n  number: 1\n  address: a\n  locality: b\n{SHORT}"
    after = write(text, Change(tuple(path.split(".")), value), file="job.yaml", model=Job)
    if line is not None:
        assert line in after.decode().splitlines()
    assert after.decode().startswith(text[: text.index("owners")])


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("job.contract_on", "yesterday", "needed a date written YYYY-MM-DD"),
        ("job.number", None, "is blank or not there"),
        ("job.numbr", "2", "is not a known field here"),
        ("owners.3.name", "x", "leads to no value: the list has 1 entry"),
        ("job.place", None, "leads to no value: there is nothing"),
        ("job.number.x", "1", "leads to no value: “1” stands there"),
        ("job.address", "a\x00b", "control character"),
    ],
)
def test_a_value_that_does_not_read_is_refused(path: str, value: str | None, says: str) -> None:
    text = f"record: 1\njob:\n  number: 1\n  address: a\n  locality: b\n{SHORT}"
    with pytest.raises(DossierError, match=says):
        write(text, Change(tuple(path.split(".")), value), file="job.yaml", model=Job)


def test_one_fault_after_the_other_can_be_mended_in_a_record_that_does_not_read() -> None:
    text = "record: 1\njob:\n  number: 1\n  adress: a\n  contract_on: soon\n"
    once = write(text, Change(("job", "contract_on"), "2026-08-18"), file="job.yaml", model=Job)
    assert once.decode() == text.replace("soon", "2026-08-18")
    later = text + "owners:\n  - name: a\n  - nam: b\n  - name: c\n"
    first_gone = write(later, Change(("owners", "0"), None), file="job.yaml", model=Job)
    assert first_gone.decode() == later.replace("  - name: a\n", "")
    twice = write(once, Change(("job", "adress"), None), file="job.yaml", model=Job)
    assert b"adress" not in twice
    with pytest.raises(DossierError, match="needed a date"):
        write(text, Change(("job", "contract_on"), "later"), file="job.yaml", model=Job)


# Several entries at once, in a list within another.

NESTED = b"""\
record: 1
deliveries:
  - ticket: 55120
    lines:
      - 42 bundles Fenwright 40   # on the truck
      - 2 rolls Dryfell underlayment
  - ticket: 55164
"""


def _changed(change: Change, data: bytes = NESTED) -> str:
    return with_changes(data, "job.yaml", Job, [change]).decode()


def test_further_entries_go_into_the_list_at_the_end_of_the_path_and_no_other() -> None:
    path = ("deliveries", "0", "lines", "2")
    said = _changed(Change(path, "1 box Coil nails", ("2 pieces Boot",)))
    assert said.splitlines() == [
        *NESTED.decode().splitlines()[:6],
        "      - 1 box Coil nails",
        "      - 2 pieces Boot",
        "  - ticket: 55164",
    ]


def test_further_entries_begin_a_list_that_was_blank_within_another() -> None:
    said = _changed(
        Change(("deliveries", "1", "lines", "0"), "1 box Coil nails", ("2 pieces Boot",))
    )
    assert as_text(said.encode())["deliveries"][1] == {
        "ticket": "55164",
        "lines": ["1 box Coil nails", "2 pieces Boot"],
    }


def test_the_first_lots_of_a_line_are_written_on_it() -> None:
    path = ("deliveries", "0", "lines", "0", "lots", "0")
    said = _changed(Change(path, "0012345 x 30", ("0012346 x 12",)))
    new = "      - 42 bundles Fenwright 40, lots 0012345 x 30; 0012346 x 12   # on the truck"
    assert said.splitlines() == [
        *NESTED.decode().splitlines()[:4],
        new,
        *NESTED.decode().splitlines()[5:],
    ]


def test_a_line_that_is_added_below_a_ticket_on_one_line_stays_a_line() -> None:
    data = b"record: 1\ndeliveries:\n  - 55120, 2026-09-11\n"
    said = _changed(Change(("deliveries", "0", "lines", "0"), "2 rolls Dryfell underlayment"), data)
    assert said.splitlines()[2:] == [
        "  - ticket: 55120",
        "    on: 2026-09-11",
        "    lines:",
        "      - 2 rolls Dryfell underlayment",
    ]
