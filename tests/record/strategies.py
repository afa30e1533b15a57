"""Hypothesis strategies for any record, drawn from the models' own declarations.

In: the models. Out: strategies. A kind of value that has no strategy here fails every test that
draws it, so a new kind is not left out without a word.
"""

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeVar

from hypothesis import strategies as st

from dossier.reading.kinds import Kind
from dossier.reading.model import Model, is_list, is_not_applicable, kind_in, model_in
from dossier.values import FIRST_YEAR, LAST_YEAR, Days, Pitch, Place

M = TypeVar("M", bound=Model)

# What the reader refuses as a control character, and surrogates, which are no characters of UTF-8.
_CHARACTERS = st.characters(
    exclude_categories=("Cs", "Cc"),
    exclude_characters="\u2028\u2029\ufeff\ufffe\uffff",
    include_characters="\n\t",
)
_AWKWARD = st.sampled_from(
    (
        *("NO", "0012345", "1E5", "1_000", "4:12", "~", "null", "a: b", "# no", "- a", "{{ x }}"),
        *("'", '"', "\\", "&a", "*a", "!a", "[a]", "{a}", "|", ">", "@", "%", "a, b + c", "<b>"),
        *("שלום", "🏠", "?"),
    )
)
texts = st.one_of(_AWKWARD, st.text(_CHARACTERS, min_size=1, max_size=12)).map(str.strip)
plain_texts = texts.filter(lambda text: text != "" and not is_not_applicable(text))


def decimals(least: int, most: int, places: int) -> st.SearchStrategy[Fraction]:
    """Return exact numbers with at most so many decimal places."""
    scale = 10**places
    return st.integers(least * scale, most * scale).map(lambda n: Fraction(n, scale))


numbers = st.one_of(
    st.integers(0, 100_000).map(Fraction),
    decimals(0, 10_000, 3),
    st.fractions(min_value=0, max_value=10_000, max_denominator=10_000),
)

days = st.dates(date(FIRST_YEAR, 1, 1), date(LAST_YEAR, 12, 31))


def _with_check_digit(digits: str) -> str:
    """Return 13 digits with the one that checks them: GS1 General Specifications, 7.9.1, from memory."""
    total = sum(3 * int(one) for one in digits[::2]) + sum(map(int, digits[1::2]))
    return f"{digits}{-total % 10}"


gtins = st.integers(0, 10**13 - 1).map(lambda number: _with_check_digit(f"{number:013}"))

BY_NAME: dict[str, st.SearchStrategy[Any]] = {
    "text": plain_texts,
    "a label": plain_texts,
    "a number under a bar code (GTIN)": gtins,
    "a length": numbers,
    "an area": numbers,
    "a number": numbers,
    "a whole number": st.integers(0, 100_000),
    "a temperature": decimals(-80, 200, 4),
    "a percentage": st.fractions(min_value=0, max_value=1, max_denominator=1000),
    "an amount": st.integers(-(10**13), 10**13).map(lambda cents: Decimal(cents) / 100),
    "a date": days,
    "a day or days": st.tuples(days, days).map(lambda two: Days(min(two), max(two))),
    "yes or no": st.booleans(),
    "a pitch": decimals(0, 60, 3).map(Pitch),
    "a place": st.builds(Place, decimals(-90, 90, 9), decimals(-180, 180, 9)),
    "a file": st.lists(
        st.text("abcé -_.0123456789", min_size=1, max_size=8)
        .map(str.strip)
        .filter(lambda part: part.strip(". ") != ""),
        min_size=2,
        max_size=3,
    ).map("/".join),
}


def of_kind(kind: Kind) -> st.SearchStrategy[Any]:
    """Return values of one kind."""
    if kind.choices:
        assert isinstance(kind.type, type)
        members: Iterator[Any] = iter(kind.type)  # type: ignore[call-overload]
        return st.sampled_from(list(members))
    values, most = BY_NAME[kind.name], kind.most
    if most is not None:
        values = values.map(lambda value: value if value <= most else value % most)
    return values.filter(lambda value: value != 0) if kind.above_zero else values


def of_model(model: type[M]) -> st.SearchStrategy[M]:
    """Return records of one model; any field that may be blank is blank about half of the time."""
    fields: dict[str, st.SearchStrategy[Any]] = {}
    for name, info in model.model_fields.items():
        group, kind = model_in(info.annotation), kind_in(info)
        value: st.SearchStrategy[Any]
        if group is not None:
            value = st.deferred(_later(group))
        else:
            assert kind is not None
            value = of_kind(kind)
        if is_list(info.annotation):
            value = st.lists(value, max_size=2).map(tuple)
        elif info.default is None:
            value = st.none() | value
        fields[name] = value
    return st.builds(model, **fields)


def _later(group: type[M]) -> Callable[[], st.SearchStrategy[M]]:
    return lambda: of_model(group)


def models_below(model: type[Model]) -> list[type[Model]]:
    """Return the model and every group inside it, each once."""
    found = [model]
    for group in found:
        for info in group.model_fields.values():
            inner = model_in(info.annotation)
            if inner is not None and inner not in found:
                found.append(inner)
    return found


def kinds_below(*models: type[Model]) -> list[Kind]:
    """Return every kind of value in the models, each once."""
    found: list[Kind] = []
    for model in models:
        for group in models_below(model):
            for info in group.model_fields.values():
                kind = kind_in(info)
                if kind is not None and kind not in found:
                    found.append(kind)
    return found
