"""Corrections are applied to a tree before it is read, wherever a field stands and however it was typed."""

from datetime import date
from pathlib import Path

import pytest

from dossier.reading.model import read_model
from dossier.reading.nodes import Node, Reading, parse_tree
from dossier.record.corrections import apply
from dossier.record.entry import Correction, Entry, LatePhoto, Registration
from dossier.record.fields import NoSuchField, differences, find, leaves, stands
from dossier.record.job import Job
from dossier.record.read import job_in
from dossier.record.trees import flat
from dossier.words import EntryKind, Phase

DEMO = Path(__file__).parents[2] / "demo_jobs"
JOBS = sorted(path.parent.name for path in DEMO.glob("*/job.yaml"))


def tree_of(text: bytes) -> Node:
    tree = parse_tree(text, "job.yaml").tree
    assert tree is not None
    return tree


def demo(job: str) -> Node:
    return tree_of((DEMO / job / "job.yaml").read_bytes())


def correction(field: str, was: str | None, right: str | None) -> Entry:
    told = Correction(field=field, was=was, right=right, why="a slip", found_by="Ida Torvik")
    day = date(2026, 11, 12)
    return Entry.model_construct(
        kind=EntryKind.CORRECTION, on=day, noted_on=day, correction=told, papers=(), photos=(),
        registration=None,
    )  # fmt: skip


@pytest.mark.parametrize("job", JOBS)
def test_every_value_of_a_record_can_be_named_and_put_back(job: str) -> None:
    """Each value is taken out and put in again: the record then reads as it did."""
    tree = demo(job)
    before = read_model(tree, "job.yaml", Job).model
    names = [
        spot for spot in leaves(tree, "job.yaml") if spot.dotted not in ("record", "job.number")
    ]
    assert len(names) > 80
    for spot in names:
        found = find(tree, "job.yaml", spot.dotted)
        assert (found.path, found.text, found.words) == (spot.path, spot.text, spot.words)
        out = apply(tree, "job.yaml", [correction(spot.dotted, spot.text, None)])
        assert out.items == (), (spot.dotted, out.items)
        again = [correction(spot.dotted, spot.text, None), correction(spot.dotted, None, spot.text)]
        if spot.path[-1].isdigit():
            # One word of several: taken out, it is put in again at the end.
            continue
        back = apply(tree, "job.yaml", again)
        if back.items:
            # A list of one whose only value was taken out is gone, and its place is new.
            assert "new entry" in find(out.tree, "job.yaml", spot.dotted).words or back.items
            continue
        assert read_model(back.tree, "job.yaml", Job).model == before, spot.dotted


@pytest.mark.parametrize("job", JOBS)
def test_a_record_does_not_differ_from_itself_nor_from_its_long_form(job: str) -> None:
    tree = demo(job)
    assert list(differences(tree, tree, "job.yaml")) == []
    for spot in leaves(tree, "job.yaml"):
        same = apply(tree, "job.yaml", [correction(spot.dotted, spot.text, spot.text)]).tree
        assert list(differences(tree, same, "job.yaml")) == [], spot.dotted


def test_a_field_goes_by_what_it_is_known_by_and_by_its_number() -> None:
    tree = demo("2026-041-plover-lane")
    one = find(tree, "job.yaml", "deliveries.55120.lines.Fenwright 40.lots.0012346.mark")
    assert one.dotted == "deliveries.0.lines.0.lots.1.mark"
    assert find(tree, "job.yaml", one.dotted) == one
    assert one.words == "ticket 55120, Fenwright 40, lot 0012346: mark"
    # A buyer may not see a ticket's number.
    assert "55120" not in one.anybody


def test_an_owner_s_name_is_in_no_words_for_a_buyer() -> None:
    spot = find(demo("2026-041-plover-lane"), "job.yaml", "owners.0.phone")
    assert "Ekdahl" in spot.words
    assert spot.anybody == "owner no. 1: phone"


def test_a_group_that_does_not_apply_is_corrected_as_one() -> None:
    tree = tree_of(b"record: 1\njob:\n  number: a\npermit: n/a, none is asked for\n")
    with pytest.raises(NoSuchField, match="correct that itself first"):
        find(tree, "job.yaml", "permit.number")
    out = apply(
        tree,
        "job.yaml",
        [
            correction("permit", "n/a, none is asked for", None),
            correction("permit.number", None, "R-1"),
        ],
    )
    assert out.items == ()
    assert flat(find(out.tree, "job.yaml", "permit.number").node) == "R-1"


@pytest.mark.parametrize(
    ("typed", "said", "same"),
    [("42", "42.0", True), ("42", "41", False), ("2026-09-21", "2026-09-21", True)],
)
def test_a_value_written_in_another_way_is_the_same(typed: str, said: str, same: bool) -> None:
    tree = tree_of(
        f"record: 1\ndeliveries:\n  - lines:\n    - quantity: {typed}\n      product: x\n".encode()
        if typed == "42"
        else f"record: 1\npermit:\n  closed_on: {typed}\n".encode()
    )
    path = "deliveries.0.lines.0.quantity" if typed == "42" else "permit.closed_on"
    assert stands(find(tree, "job.yaml", path), said) is same


def test_leading_zeros_of_a_mark_are_no_other_way_of_writing_it() -> None:
    spot = find(demo("2026-041-plover-lane"), "job.yaml", "deliveries.0.lines.0.lots.0.mark")
    assert stands(spot, "0012345")
    assert not stands(spot, "12345")


def test_an_entry_that_does_not_fit_makes_the_record_unreadable() -> None:
    entry = correction("slopes.0.pitch", "4:12", "6:12")
    read = job_in(Reading("job.yaml", demo("2026-041-plover-lane")), 1, (), [entry])
    assert read.model is None
    assert "was “4:12”, and there stands “6:12”" in str(read.items[0].says)


def test_a_confirmation_that_fits_two_warranties_confirms_neither() -> None:
    text = b"record: 1\nwarranties:\n- sheet: a\n  level: Full\n- sheet: b\n  level: Full\n"
    day = date(2026, 10, 1)
    for sheet, expected in ((None, ["", ""]), ("a", ["X-1", ""])):
        told = Registration(sheet=sheet, confirmed_on=day, confirmation="X-1")
        entry = Entry.model_construct(
            kind=EntryKind.REGISTRATION_CONFIRMED, on=day, noted_on=day, registration=told,
            correction=None, papers=(), photos=(),
        )  # fmt: skip
        out = apply(tree_of(text), "job.yaml", [entry]).tree
        found = [find(out, "job.yaml", f"warranties.{n}.confirmation").text for n in (0, 1)]
        assert found == expected


def test_late_photos_stand_behind_those_that_were_listed() -> None:
    day = date(2026, 11, 12)
    late = (LatePhoto(file="files/a.jpg", phase=Phase.FIELD, slope="front"),)
    entry = Entry.model_construct(
        kind=EntryKind.LATE_PHOTO, on=day, noted_on=day, registration=None, correction=None,
        papers=(), photos=late,
    )  # fmt: skip
    tree = tree_of(b"photos:\n- file: photos/deck/front.jpg\n")
    out = apply(tree, "photos.yaml", [entry])
    spot = find(out.tree, "photos.yaml", "photos.1.file")
    assert spot.text == "photos/field/a.jpg"
    assert [change.edition for change in out.changes] == [2]
    assert apply(tree, "job.yaml", [entry]).changes == ()
