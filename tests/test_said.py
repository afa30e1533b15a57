"""A sentence as a value: printing, equality, joining over slopes, JSON, and what it refuses."""

import json
import pickle
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.said import (
    Area,
    Count,
    Feet,
    File,
    Inches,
    Listed,
    Money,
    Number,
    Person,
    Product,
    Said,
    Share,
    Slopes,
    Value,
    as_said,
    joined,
    over_slopes,
    say,
    write,
)
from dossier.values import Days, Pitch
from dossier.words import Role

_numbers = st.fractions(min_value=0, max_value=10**6, max_denominator=64)
_words = st.text(min_size=1, max_size=12)
_days = st.dates(date(1900, 1, 1), date(2199, 12, 31))
_single: st.SearchStrategy[Value] = st.one_of(
    _words,
    st.integers(0, 9999),
    _days,
    _days.map(lambda day: Days(day, day)),
    st.fractions(0, 60, max_denominator=4).map(Pitch),
    *(_numbers.map(kind) for kind in (Inches, Feet, Area, Share, Number)),
    st.decimals(0, 10**6, places=2).map(Money),
    st.integers(0, 9999).map(lambda count: Count(count, "photo")),
    st.lists(_words, min_size=1, max_size=3).map(lambda labels: Slopes(tuple(labels))),
    *(_words.map(kind) for kind in (Person, File, Product)),
    st.sampled_from(Role),
)
_values: st.SearchStrategy[Value] = st.recursive(
    _single,
    lambda inner: st.one_of(
        st.lists(inner, min_size=1, max_size=3).map(
            lambda parts: Listed(tuple(parts), "and" if len(parts) % 2 else "; ")
        ),
        inner.map(lambda value: say("the {one} of it", one=value)),
    ),
    max_leaves=4,
)


def _sentence(values: list[Value]) -> Said:
    named = {f"v{number}": value for number, value in enumerate(values)}
    return say(" | ".join(f"<{{{name}}}>" for name in named), **named)


@given(st.lists(_values, min_size=1, max_size=4))
def test_every_value_stands_in_the_text_once_and_whole(values: list[Value]) -> None:
    assert str(_sentence(values)) == " | ".join(f"<{write(value)}>" for value in values)


@given(st.lists(_values, min_size=1, max_size=4))
def test_a_sentence_is_a_value(values: list[Value]) -> None:
    one, other = _sentence(values), _sentence(values)
    assert one == other
    assert hash(one) == hash(other)
    assert pickle.loads(pickle.dumps(one)) == one
    assert one.changed(lambda value: value) == one


@given(st.lists(_values, min_size=1, max_size=4))
def test_the_json_form_holds_the_english_and_every_value(values: list[Value]) -> None:
    said = _sentence(values)
    data = json.loads(json.dumps(said.data))
    assert data["english"] == str(said)
    assert list(data["values"]) == [name for name, _ in said.values]
    for name, value in said.values:
        assert data["values"][name]["english"] == write(value)
        assert data["values"][name]["kind"]


@given(st.lists(_values, min_size=1, max_size=4))
def test_what_is_changed_is_the_values_and_never_the_text(values: list[Value]) -> None:
    hidden = _sentence(values).changed(lambda value: "X" if isinstance(value, Person) else value)
    assert not any(isinstance(leaf, Person) for leaf in hidden.leaves)
    assert hidden.text == _sentence(values).text


@pytest.mark.parametrize(
    ("value", "english"),
    [
        (date(2026, 9, 14), "14 September 2026"),
        (Inches(Fraction(5, 8)), "5/8 in"),
        (Feet(Fraction(40)), "40 ft"),
        (Area(Fraction(1240)), "1,240 sq ft"),
        (Money(Decimal("1240.5")), "$1,240.50"),
        (Share(Fraction(15, 100)), "15 %"),
        (Number(Fraction(5, 2), "bundles"), "2.5 bundles"),
        (Number(57, "bundle"), "57 bundles"),
        (Number(1, "boxes"), "1 box"),
        (Number(2, "box"), "2 boxes"),
        (Number(1, "sq ft"), "1 sq ft"),
        (Count(1, "photo"), "1 photo"),
        (Count(1200, "box", "boxes"), "1,200 boxes"),
        (Pitch(Fraction(6)), "6:12"),
        (1962, "1962"),
        (Role.STARTER, "starter"),
        (Slopes(("back",)), "slope back"),
        (Slopes(("back", "front", "porch")), "slopes back, front and porch"),
        (Slopes(()), "the roof"),
        (Listed((Person("A"), Person("B")), "or"), "A or B"),
        (Listed(("a", "b"), "; "), "a; b"),
    ],
)
def test_each_kind_has_its_one_way_of_being_written(value: Value, english: str) -> None:
    assert str(say("{it}", it=value)) == english


@pytest.mark.parametrize(
    ("value", "english"),
    [
        (Slopes(("back",)), "Slope back is bare."),
        (Slopes(("back", "front")), "Slopes back and front are bare."),
        (Count(1, "side"), "1 side is bare."),
        (Count(0, "side"), "0 sides are bare."),
        ("porch", "Porch is bare."),
    ],
)
def test_number_and_capital_belong_to_the_sentence(value: Value, english: str) -> None:
    assert str(say("{what!c} {what:is|are} bare.", what=value)) == english


def test_braces_that_somebody_typed_are_left_alone() -> None:
    assert str(say("Slope {slope} is bare.", slope="a {b} {{c}}")) == "Slope a {b} {{c}} is bare."
    assert str(as_said("a {b}")) == "a {b}"


@pytest.mark.parametrize("values", [{}, {"day": "a", "other": "b"}, {"other": "b"}])
def test_a_slot_without_a_value_and_a_value_without_a_slot_are_refused(
    values: dict[str, Value],
) -> None:
    with pytest.raises(ValueError, match="was given"):
        say("On {day}.", **values)


def _bare(slope: str, pitch: int) -> Said:
    return say("Nobody saw {slopes} at {pitch}.", slopes=Slopes((slope,)), pitch=pitch)


def test_sentences_alike_but_for_their_slopes_are_one_in_the_order_they_came() -> None:
    told = over_slopes([_bare("b", 6), say("x"), _bare("a", 4), _bare("a", 6), _bare("b", 6)])
    assert [str(one) for one in told] == [
        "Nobody saw slopes b and a at 6.",
        "x",
        "Nobody saw slope a at 4.",
    ]


def test_a_label_that_is_a_common_word_is_not_taken_for_a_slope() -> None:
    # A slope may be called “at” or “6”; only the value of the slot changes.
    told = over_slopes([_bare("at", 6), _bare("6", 6)])
    assert [str(one) for one in told] == ["Nobody saw slopes at and 6 at 6."]


def test_two_groups_of_slopes_in_one_sentence_stay_apart() -> None:
    pairs = [
        say("{one} above {other}", one=Slopes((first,)), other=Slopes((second,)))
        for first, second in (("a", "b"), ("c", "d"))
    ]
    assert over_slopes(pairs) == tuple(pairs)


def test_joined_keeps_each_once_and_one_alone_as_it_is() -> None:
    one, other = say("A {n}.", n=1), say("B.")
    assert joined([one, one]) == one
    assert str(joined([one, other, one])) == "A 1. B."
    assert str(joined([one, other], "; ")) == "A 1.; B."
