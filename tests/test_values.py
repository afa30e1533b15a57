"""Worked examples for every way of reading and writing a value.

Lengths: one inch is 25.4 mm, exactly (NIST Special Publication 811, 2008 edition, appendix B.9).
Areas: a roofing square is 100 square feet (common practice, no published source). Dates: ISO
8601-1:2019, extended form. Rounding: half to even (IEEE 754-2019, 4.3.1, as in Python's `round`).
"""

import calendar
from collections.abc import Callable
from datetime import date
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier import values
from dossier.values import Days, Pitch, Place

F = Fraction


@pytest.mark.parametrize(
    ("text", "feet"),
    [
        ("40", F(40)),
        ("40 ft", F(40)),
        ("40ft.", F(40)),
        ("40'", F(40)),
        ("1,240.5 feet", F(2481, 2)),
        ("6'-3\"", F(25, 4)),
        ("6' 3\"", F(25, 4)),
        ("6 ft 3 in", F(25, 4)),
        ("6 ft 3 1/2 in", F(151, 24)),
        ("6'-3 1/2\"", F(151, 24)),
        ("1 foot 1/2 inch", F(25, 24)),
        ("75 in", F(25, 4)),
        ('75"', F(25, 4)),
        ("76 LF", F(76)),
        # NIST SP 811: 1 ft = 0.3048 m and 1 in = 2.54 cm, both exact.
        ("0.3048 m", F(1)),
        ("3.048 m", F(10)),
        ("30.48 cm", F(1)),
        ("304.8 mm", F(1)),
        ("0", F(0)),
    ],
)
def test_length_in_feet(text: str, feet: Fraction) -> None:
    assert values.parse_length_ft(text) == feet


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("12", F(12)),
        ("5/8", F(5, 8)),
        ("5/8 in", F(5, 8)),
        ('1/2"', F(1, 2)),
        ("1 1/4 in", F(5, 4)),
        ("1-1/4 in", F(5, 4)),
        ("6.5 in", F(13, 2)),
        ("1 ft", F(12)),
        ("1'-2\"", F(14)),
        ("25.4 mm", F(1)),
        ("2.54 cm", F(1)),
        ("300 mm", F(1500, 127)),
        (".5", F(1, 2)),
    ],
)
def test_length_in_inches(text: str, inches: Fraction) -> None:
    assert values.parse_length_in(text) == inches


@pytest.mark.parametrize(
    ("text", "sqft"),
    [
        ("626", F(626)),
        ("1,240 sq ft", F(1240)),
        ("1240 sqft", F(1240)),
        ("18 sq", F(1800)),
        ("18.5 squares", F(1850)),
        ("1 square", F(100)),
        ("144 sq in", F(1)),
        # NIST SP 811: 1 square foot = 0.092 903 04 square metres, exact.
        ("0.09290304 sq m", F(1)),
        ("9.290304 m2", F(100)),
        ("9.290304 m²", F(100)),
        ("626 ft2", F(626)),
        ("144 in²", F(1)),
    ],
)
def test_area_in_square_feet(text: str, sqft: Fraction) -> None:
    assert values.parse_area_sqft(text) == sqft


@pytest.mark.parametrize(
    ("text", "sqin"), [("18", F(18)), ("18 sq in", F(18)), ("0.5 sq ft", F(72)), ("1 sq", F(14400))]
)
def test_area_in_square_inches(text: str, sqin: Fraction) -> None:
    assert values.parse_area_sqin(text) == sqin


@pytest.mark.parametrize(
    ("text", "rise"),
    [
        ("6:12", F(6)),
        ("6/12", F(6)),
        ("6 in 12", F(6)),
        ("6 on 12", F(6)),
        ("4.5:12", F(9, 2)),
        ("0:12", F(0)),
        ("60:12", F(60)),
        (" 6 : 12 ", F(6)),
    ],
)
def test_pitch(text: str, rise: Fraction) -> None:
    assert Pitch.parse(text).rise_in_12 == rise


@pytest.mark.parametrize(
    ("text", "degrees_f"),
    [
        ("41", F(41)),
        ("41 F", F(41)),
        ("41 °F", F(41)),
        # NIST SP 811, appendix B.9: freezing and boiling point of water, and where the scales meet.
        ("0 C", F(32)),
        ("100 C", F(212)),
        ("-40 C", F(-40)),
        ("−5", F(-5)),
        ("5.5 c", F(419, 10)),
    ],
)
def test_temperature(text: str, degrees_f: Fraction) -> None:
    assert values.parse_temperature_f(text) == degrees_f


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("14,860.00", "14860.00"),
        ("$96", "96.00"),
        ("$ 96.5", "96.50"),
        ("-25.00", "-25.00"),
        ("−$25", "-25.00"),
        ("0", "0.00"),
        ("1.00000", "1.00"),
        ("999,999,999,999.99", "999999999999.99"),
    ],
)
def test_money(text: str, amount: str) -> None:
    got = values.parse_money(text)
    assert str(got) == amount


@pytest.mark.parametrize(
    ("text", "share"), [("15 %", F(3, 20)), ("15", F(3, 20)), ("12.5%", F(1, 8)), ("100 %", F(1))]
)
def test_share(text: str, share: Fraction) -> None:
    assert values.parse_share(text) == share


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-09-14", date(2026, 9, 14)),
        (" 2026-09-14 ", date(2026, 9, 14)),
        ("2024-02-29", date(2024, 2, 29)),
        # 2000 is a leap year and 1900 is none (ISO 8601-1:2019, 4.2.1).
        ("2000-02-29", date(2000, 2, 29)),
    ],
)
def test_date(text: str, day: date) -> None:
    assert values.parse_date(text) == day


def test_days() -> None:
    one, two = date(2026, 9, 14), date(2026, 9, 16)
    assert Days.parse("2026-09-14") == Days(one, one)
    assert Days.parse("2026-09-14 to 2026-09-16") == Days(one, two)
    assert str(Days(one, one)) == "2026-09-14"
    assert str(Days(one, two)) == "2026-09-14 to 2026-09-16"


def test_place() -> None:
    assert Place.parse("47.7000, -87.1") == Place(F(477, 10), F(-871, 10))
    assert Place.parse("−33,151.25") == Place(F(-33), F(605, 4))
    assert str(Place.parse("47.7, -87.1")) == "47.7000, -87.1000"


def test_yes_and_no() -> None:
    assert values.parse_yes_no(" Yes ") is True
    assert values.parse_yes_no("NO") is False


REFUSED: list[tuple[Callable[[str], Any], str, str]] = [
    (values.parse_number, "1E5", "needed a number"),
    (values.parse_number, "1_000", "needed a number"),
    (values.parse_number, "12,40", "needed a number"),
    (values.parse_number, "1.240,5", "needed a number"),
    (values.parse_number, "-1", "not below zero"),
    (values.parse_number, "½", "needed a number"),
    (values.parse_number, "5/0", "lower part is not zero"),
    (values.parse_number, "", "needed a number"),
    (values.parse_number, "nan", "needed a number"),
    (values.parse_number, "9" * 61, "at most 60 characters"),
    (values.parse_count, "2.5", "needed a whole number"),
    (values.parse_count, "1/2", "needed a whole number"),
    (values.parse_length_ft, "40 yd", "found the unit “yd”"),
    (values.parse_length_ft, "six feet", "needed a length such as"),
    (values.parse_length_ft, "6'-3", "needed a length such as"),
    (values.parse_length_ft, "-6 ft", "not below zero"),
    (values.parse_length_in, "", "needed a length such as"),
    (values.parse_length_in, "1 2 3 in", "needed a number"),
    (values.parse_area_sqft, "40 ft", "found the unit “ft”"),
    (values.parse_area_sqft, "-5 sq ft", "not below zero"),
    (values.parse_area_sqft, "about 500", "needed an area such as"),
    (Pitch.parse, "6", "needed a pitch such as 6:12"),
    (Pitch.parse, "252", "needed a pitch such as 6:12"),
    (Pitch.parse, "12:6", "needed a pitch such as 6:12"),
    (Pitch.parse, "-6:12", "needed a pitch such as 6:12"),
    (Pitch.parse, "60.01:12", "no steeper than 60:12"),
    (values.parse_temperature_f, "warm", "needed a temperature"),
    (values.parse_temperature_f, "273 K", "needed a temperature"),
    (values.parse_money, "12.345", "at most two decimals"),
    (values.parse_money, "1.001", "at most two decimals"),
    (values.parse_money, "1e3", "needed an amount"),
    (values.parse_money, "1,0", "needed an amount"),
    (values.parse_money, "12 EUR", "needed an amount"),
    (values.parse_money, "1000000000000", "needed an amount"),
    (values.parse_share, "101 %", "a percentage from 0 to 100"),
    (values.parse_share, "-1 %", "not below zero"),
    (values.parse_date, "3/4/25", "needed a date written YYYY-MM-DD"),
    (values.parse_date, "2026-9-4", "needed a date written YYYY-MM-DD"),
    (values.parse_date, "20260904", "needed a date written YYYY-MM-DD"),
    (values.parse_date, "14 September 2026", "needed a date written YYYY-MM-DD"),
    (values.parse_date, "2026-09-14T00:00", "needed a date written YYYY-MM-DD"),
    (values.parse_date, "2026-02-29", "which no calendar has"),
    (values.parse_date, "1900-02-29", "which no calendar has"),
    (values.parse_date, "2026-13-01", "which no calendar has"),
    (values.parse_date, "2026-00-00", "which no calendar has"),
    (Days.parse, "2026-09-14 to 2026-09-13", "the last day is before the first"),
    (Days.parse, "2026-09-14 - 2026-09-15", "needed a date written YYYY-MM-DD"),
    (Place.parse, "91, 0", "which is not on the earth"),
    (Place.parse, "0, 180.1", "which is not on the earth"),
    (Place.parse, "47.7", "needed a place"),
    (Place.parse, "1" * 5000 + ", 0", "needed a place"),
    (values.parse_yes_no, "y", "needed yes or no"),
    (values.parse_yes_no, "true", "needed yes or no"),
]


@pytest.mark.parametrize(("parse", "text", "says"), REFUSED)
def test_refused_with_what_was_found_and_needed(
    parse: Callable[[str], Any], text: str, says: str
) -> None:
    with pytest.raises(ValueError, match=r"^found ") as caught:
        parse(text)
    assert says in str(caught.value)


PARSERS: list[Callable[[str], Any]] = [
    values.parse_number,
    values.parse_count,
    values.parse_length_ft,
    values.parse_length_in,
    values.parse_area_sqft,
    values.parse_area_sqin,
    values.parse_temperature_f,
    values.parse_share,
    values.parse_money,
    values.parse_date,
    values.parse_yes_no,
    Pitch.parse,
    Days.parse,
    Place.parse,
]


@pytest.mark.parametrize("parse", PARSERS, ids=lambda parse: parse.__qualname__)
def test_any_text_is_read_or_refused_in_our_words(parse: Callable[[str], Any]) -> None:
    near = st.text("0123456789.,/:-' \"ftinsqmCF%$to²٣½e", max_size=80)

    @settings(max_examples=60, deadline=None)
    @given(near | st.text(max_size=80))
    def reads(text: str) -> None:
        said = "found nothing to refuse"
        try:
            parse(text)
        except ValueError as problem:
            said = str(problem)
        # An English sentence of Python's own would not tell anybody what to type instead.
        assert said.startswith("found ")

    reads()


@pytest.mark.parametrize(
    ("number", "decimals", "text"),
    [
        (F(7, 2), 0, "4"),
        (F(1, 4), 1, "0.3"),
        (F(3, 4), 1, "0.8"),
        (F(35, 100), 1, "0.4"),
        (F(45, 100), 1, "0.5"),
        (F(-5, 2), 0, "-3"),
        (F(5, 2), 0, "3"),
        (F(1, 8), 2, "0.13"),
        (F(-1, 8), 2, "-0.13"),
        (F(-1, 100), 1, "0"),
        (F(1240), 1, "1,240"),
        (F(12401, 10), 1, "1,240.1"),
        (F(1000001, 100), 2, "10,000.01"),
        (F(2, 3), 3, "0.667"),
        (F(101, 100), 1, "1"),
        (Decimal("2.50"), 1, "2.5"),
        (3, 2, "3"),
    ],
)
def test_number_is_rounded_with_halves_away_from_zero(
    number: Fraction | Decimal | int, decimals: int, text: str
) -> None:
    assert values.write_number(number, decimals) == text


@given(st.fractions(min_value=-(10**6), max_value=10**6), st.integers(0, 3))
@settings(deadline=None)
def test_number_agrees_with_the_decimal_module(number: Fraction, decimals: int) -> None:
    # Python's decimal module is tested against the General Decimal Arithmetic specification.
    with localcontext() as context:
        context.prec = 60
        exact = Decimal(number.numerator) / Decimal(number.denominator)
        whole = exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    assert Decimal(values.write_number(number, decimals).replace(",", "")) == whole


@given(st.fractions(min_value=-(10**9), max_value=10**9, max_denominator=10**6))
def test_to_cents_is_within_half_a_cent(amount: Fraction) -> None:
    cents = values.to_cents(amount)
    assert abs(Fraction(cents) - amount) <= Fraction(1, 200)
    assert cents.as_tuple().exponent == -2


def test_to_cents_rounds_halves_away_from_zero() -> None:
    assert values.to_cents(F(5, 1000)) == Decimal("0.01")
    assert values.to_cents(F(-5, 1000)) == Decimal("-0.01")


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (F(5, 8), "5/8 in"),
        (F(5, 4), "1 1/4 in"),
        (F(7, 16), "7/16 in"),
        (F(12), "12 in"),
        (F(0), "0 in"),
        (F(24), "24 in"),
        (F(49, 2), "24.5 in"),
        (F(1500, 127), "11.81 in"),
        (F(1, 32), "0.03 in"),
        (F(-1, 2), "-1/2 in"),
        (F(-5, 4), "-1 1/4 in"),
    ],
)
def test_inches_as_the_trade_writes_them(inches: Fraction, text: str) -> None:
    assert values.write_inches(inches) == text


def test_other_ways_of_writing() -> None:
    assert values.write_feet(F(313, 10)) == "31.3 ft"
    assert values.write_feet(F(94, 3)) == "31.33 ft"
    assert values.write_feet(F(1240)) == "1,240 ft"
    assert values.write_area(F(12521, 10)) == "1,252 sq ft"
    assert values.write_area(F(1253, 2)) == "627 sq ft"
    assert values.write_area(F(1255, 2)) == "628 sq ft"
    assert values.write_money(Decimal("1240.5")) == "$1,240.50"
    assert values.write_money(Decimal("-25")) == "-$25.00"
    assert values.write_money(Decimal("0.125")) == "$0.13"
    assert values.write_money(Decimal("0.135")) == "$0.14"
    assert values.write_share(F(1, 3)) == "33.3 %"
    assert values.write_share(F(1, 3), 2) == "33.33 %"
    assert values.write_share(F(1, 2)) == "50 %"
    assert values.write_date(date(2026, 9, 4)) == "4 September 2026"
    months = [values.write_date(date(2026, month, 1)).split()[1] for month in range(1, 13)]
    assert months == list(calendar.month_name)[1:]
    assert str(Pitch(F(9, 2))) == "4.5:12"
    assert str(Pitch(F(6))) == "6:12"


def test_counted_nouns() -> None:
    assert values.plural(0, "photo") == "0 photos"
    assert values.plural(1, "photo") == "1 photo"
    assert values.plural(1200, "photo") == "1,200 photos"
    assert values.plural(2, "penny", "pence") == "2 pence"


@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("bundle", "bundles"),
        ("box", "boxes"),
        ("bunch", "bunches"),
        ("piece", "pieces"),
        ("foot", "feet"),
        ("board foot", "board feet"),
        ("linear foot", "linear feet"),
        ("sq ft", "sq ft"),
        ("lf", "lf"),
        ("pc", "pc"),
    ],
)
def test_a_unit_of_goods_agrees_with_its_number(one: str, many: str) -> None:
    # The plurals are those of English grammar; an abbreviated measure has none.
    assert values.units_of(one) == values.units_of(many) == (one, many)
    assert [values.unit_for(n, word) for n in (1, 57) for word in (one, many)] == [one] * 2 + [
        many
    ] * 2
    assert values.unit_for(57, None) == ""


def test_parts_as_a_sentence_lists_them() -> None:
    assert values.listed([]) == ""
    assert values.listed(["a"]) == "a"
    assert values.listed(["a", "b"]) == "a and b"
    assert values.listed(("a", "b", "c"), "or") == "a, b or c"


def test_days_between() -> None:
    # 2024 is a leap year: 29 February lies between.
    assert values.days_between(date(2024, 2, 28), date(2024, 3, 1)) == 2
    assert values.days_between(date(2026, 2, 28), date(2026, 3, 1)) == 1
    assert values.days_between(date(2026, 3, 1), date(2026, 2, 28)) == -1


def test_clipped_text_is_one_line() -> None:
    assert values.clip("a\n  b\tc") == "a b c"
    assert values.clip("x" * 60) == "x" * 60
    assert values.clip("x" * 61) == "x" * 60 + "…"


@pytest.mark.parametrize(
    ("numbers", "most", "text"),
    [
        ([], None, ""),
        ([4], None, "4"),
        ([2, 1], None, "1 and 2"),
        ([9, 4, 5, 6, 7, 1, 1], None, "1, 4 to 7 and 9"),
        ([1, 3, 4, 5, 8, 9], 2, "1, 3 to 5 and 2 more"),
        ([1, 3], 2, "1 and 3"),
        ([1, 3, 5], 2, "1, 3 and 5"),
    ],
)
def test_runs_of_numbers_are_joined(numbers: list[int], most: int | None, text: str) -> None:
    assert values.write_runs(numbers, most) == text
