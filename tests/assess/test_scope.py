"""Lines of a scope as people write them, and what each pays for.

The lines are made of plain trade words, in no program's wording and with none of its codes; what each means is
judged by a reader of the trade (common practice, no published source).
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.assess.scope import scope_rows
from dossier.assess.scope_words import has_permit_fee, quantity_of, read_line
from dossier.record.closing import ScopeLine
from dossier.words import Role
from tests.known_good import known_good

R = Role

PAYS: dict[str, set[Role]] = {
    # One thing named plainly.
    "laminated shingles": {R.FIELD_SHINGLE},
    "3-tab shingles, 25 year": {R.FIELD_SHINGLE},
    "starter": {R.STARTER},
    "Starter strip at eaves and rakes": {R.STARTER},
    "starter shingles": {R.STARTER},
    "hip and ridge caps": {R.HIP_AND_RIDGE},
    "Hip / ridge cap shingles": {R.HIP_AND_RIDGE},
    "ridge caps": {R.HIP_AND_RIDGE},
    "synthetic underlayment": {R.UNDERLAYMENT},
    "30 lb felt": {R.UNDERLAYMENT},
    "ice barrier at eaves": {R.ICE_BARRIER},
    "ice & water membrane": {R.ICE_BARRIER},
    "ice and water": {R.ICE_BARRIER},
    "self-adhered eave membrane": {R.ICE_BARRIER},
    "drip edge": {R.DRIP_EDGE},
    "Gutter apron and rake edge metal": {R.DRIP_EDGE},
    "valley metal, W shape": {R.VALLEY},
    "valley lining": {R.VALLEY},
    "step flashing": {R.FLASHING},
    "chimney flashing": {R.FLASHING},
    "kick-out diverter": {R.FLASHING},
    "skylight flashing kit": {R.SKYLIGHT_KIT},
    "pipe boots": {R.PIPE_BOOT},
    "pipe jack flashing": {R.PIPE_BOOT},
    "ridge vent": {R.EXHAUST_VENT},
    "continuous ridge vent, shingle-over style": {R.EXHAUST_VENT},
    "box vents": {R.EXHAUST_VENT},
    "soffit vents": {R.INTAKE_VENT},
    "furnace flue cap": {R.DUCT_OR_FLUE_CAP},
    "sheathing, 1/2 in plywood": {R.DECK_PANEL},
    # Several in one line.
    "Remove and replace shingles, ridge caps, drip edge": {
        R.FIELD_SHINGLE,
        R.HIP_AND_RIDGE,
        R.DRIP_EDGE,
    },
    "R&R drip edge": {R.DRIP_EDGE},
    "Tear off and replace laminated shingles": {R.FIELD_SHINGLE},
    "Tear off old roof, install laminated shingles and felt": {R.FIELD_SHINGLE, R.UNDERLAYMENT},
    "Remove old flashing; new step flashing": {R.FLASHING},
    "ice barrier and underlayment, drip edge": {R.ICE_BARRIER, R.UNDERLAYMENT, R.DRIP_EDGE},
    "valley metal and pipe boots": {R.VALLEY, R.PIPE_BOOT},
    # Left out in so many words.
    "laminated shingles w/out felt": {R.FIELD_SHINGLE},
    "laminated shingles w/o felt": {R.FIELD_SHINGLE},
    "laminated shingles - without felt": {R.FIELD_SHINGLE},
    "shingles, no starter": {R.FIELD_SHINGLE},
    "shingles (felt not included)": {R.FIELD_SHINGLE},
    "shingles, excludes starter, ridge caps and drip edge": {R.FIELD_SHINGLE},
    "shingles less underlayment": {R.FIELD_SHINGLE},
    "Felt by others; laminated shingles": {R.FIELD_SHINGLE},
    "No drip edge needed": set(),
    "Drip edge excluded": set(),
    "valley metal is not part of this claim": set(),
    # Only taken off, hauled or kept.
    "Remove shingles": set(),
    "Removal of laminated shingles and felt": set(),
    "Tear off, haul and dispose of shingles": set(),
    "Tear out ridge vent": set(),
    "Haul away old shingles": set(),
    "Dump fees for shingles": set(),
    "Detach and reset chimney flashing": set(),
    "Detach & reset ridge vent": set(),
    "Re-use existing drip edge": set(),
    "Keep existing step flashing": set(),
    "take off one layer and haul away": set(),
    # Work about a thing, not the thing.
    "Additional charge for steep roof, shingles": set(),
    "Two-storey charge": set(),
    "labour minimum": set(),
    "Tarp over ridge": set(),
    "Paint soffit": set(),
    "Remove to deck": set(),
    "Clean gutters and apron": set(),
    "Inspect decking": set(),
}


@pytest.mark.parametrize("words", PAYS)
def test_a_line_pays_for_what_its_words_say(words: str) -> None:
    assert read_line(ScopeLine(what=words)).pays == PAYS[words]


def test_a_line_that_names_its_role_is_taken_at_its_word() -> None:
    assert read_line(ScopeLine(what="Remove shingles", role=Role.STARTER)).pays == {Role.STARTER}


@pytest.mark.parametrize(
    ("words", "out"),
    [
        ("laminated shingles w/out felt", {R.UNDERLAYMENT}),
        ("excludes starter, ridge caps and drip edge", {R.STARTER, R.HIP_AND_RIDGE, R.DRIP_EDGE}),
        ("Felt by others", {R.UNDERLAYMENT}),
        ("laminated shingles", set()),
    ],
)
def test_what_a_line_leaves_out_in_so_many_words(words: str, out: set[Role]) -> None:
    assert read_line(ScopeLine(what=words)).leaves_out == out


_THINGS = st.sampled_from(
    [
        ("laminated shingles", R.FIELD_SHINGLE),
        ("starter strip", R.STARTER),
        ("hip and ridge caps", R.HIP_AND_RIDGE),
        ("felt", R.UNDERLAYMENT),
        ("ice barrier", R.ICE_BARRIER),
        ("drip edge", R.DRIP_EDGE),
        ("valley metal", R.VALLEY),
        ("step flashing", R.FLASHING),
        ("pipe boots", R.PIPE_BOOT),
        ("ridge vent", R.EXHAUST_VENT),
    ]
)
_TAKEN_OFF = st.sampled_from(["Remove", "Tear off", "Tear out", "Haul away", "Detach and reset"])
_GIVEN = st.sampled_from(["", "Install ", "Replace ", "Remove and replace ", "R&R ", "Furnish "])
_WITHOUT = st.sampled_from(["w/out", "without", "w/o", "excluding", "no", "less"])


@given(_TAKEN_OFF, _THINGS)
def test_what_only_comes_off_is_never_paid_for_as_new(verb: str, thing: tuple[str, Role]) -> None:
    assert read_line(ScopeLine(what=f"{verb} {thing[0]}")).pays == frozenset()


@given(_GIVEN, _THINGS, _WITHOUT, _THINGS)
def test_a_thing_left_out_is_not_paid_for_and_the_rest_is(
    verb: str, thing: tuple[str, Role], without: str, other: tuple[str, Role]
) -> None:
    read = read_line(ScopeLine(what=f"{verb}{thing[0]} {without} {other[0]}"))
    assert read.pays == {thing[1]} - {other[1]}
    assert read.leaves_out == {other[1]}


@given(_GIVEN, _THINGS, _THINGS)
def test_case_and_spaces_change_nothing(
    verb: str, thing: tuple[str, Role], other: tuple[str, Role]
) -> None:
    line = f"{verb}{thing[0]}, {other[0]}"
    expected = read_line(ScopeLine(what=line))
    assert read_line(ScopeLine(what=f"  {line.upper().replace(' ', '  ')} ")) == expected
    assert expected.pays == {thing[1], other[1]}


@pytest.mark.parametrize(
    ("words", "amount", "unit"),
    [
        ("143 ft", 143, "ft"),
        ("143.50 LF", Fraction(287, 2), "ft"),
        ("1,252 sq ft", 1252, "sq ft"),
        # A square is 100 sq ft of roof (common practice).
        ("13 squares", 1300, "sq ft"),
        ("12.5 sq", 1250, "sq ft"),
        ("2 ea", 2, "pieces"),
        ("18 pieces", 18, "pieces"),
    ],
)
def test_a_quantity_is_read_with_its_unit(words: str, amount: int | Fraction, unit: str) -> None:
    assert quantity_of(words) == (Fraction(amount), unit)


@pytest.mark.parametrize("words", ["", "1 lump sum", "all", "ft", "2 rolls", "about a dozen"])
def test_a_quantity_in_no_unit_of_the_roof_says_nothing(words: str) -> None:
    assert quantity_of(words) is None


def _rows(lines: list[dict[str, str]], **edits: object):  # type: ignore[no-untyped-def]
    known = known_good({"job.money.scope_lines": lines, **edits})
    rows = scope_rows(known.case, known.facts, known.assessment)
    return {row.role: row for row in rows}


def test_two_lines_of_one_role_are_added_up_before_they_are_compared() -> None:
    # Eaves 80 ft and rakes 62.6 ft carry starter: 142.6 ft.
    rows = _rows(
        [
            {"what": "starter at eaves", "quantity": "80 ft"},
            {"what": "starter at rakes", "quantity": "62.6 ft"},
        ]
    )
    assert rows[Role.STARTER].short_by == 0


def test_a_line_of_less_than_the_measured_roof_is_short() -> None:
    rows = _rows([{"what": "starter at eaves", "quantity": "80 ft"}])
    assert rows[Role.STARTER].short_by == Fraction(626, 10)


@pytest.mark.parametrize("quantity", ["139.8 ft", "143 ft", "2 bundles", ""])
def test_within_the_tape_s_tolerance_or_in_another_unit_nothing_is_short(quantity: str) -> None:
    # 2 % of 142.6 ft is 2.85 ft: 139.8 ft is within it.
    line = {"what": "starter", **({"quantity": quantity} if quantity else {})}
    assert _rows([line])[Role.STARTER].short_by == 0


def test_a_line_without_a_quantity_beside_a_short_one_leaves_it_open() -> None:
    rows = _rows([{"what": "starter at eaves", "quantity": "80 ft"}, {"what": "starter at rakes"}])
    assert rows[Role.STARTER].short_by == 0


def test_valley_flashing_boots_and_vents_have_rows_where_the_roof_has_them() -> None:
    back = {
        "label": "back",
        "pitch": "6:12",
        "plan": "40 ft x 14 ft",
        "eave_ft": "40",
        "rake_ft": "31.3",
        "valley_ft": "18",
        "step_flashing_ft": "12",
        "penetrations": "1",
    }
    open_metal = {"job.installation.valley_method": "open metal"}
    rows = _rows([{"what": "laminated shingles"}], **{"job.slopes.1": back, **open_metal})
    assert str(rows[Role.VALLEY].quantity) == "18 ft"
    assert str(rows[Role.FLASHING].quantity) == "12 ft"
    assert str(rows[Role.PIPE_BOOT].quantity) == "2 pieces"
    plain = _rows([{"what": "laminated shingles"}])
    assert Role.VALLEY not in plain
    assert Role.FLASHING not in plain


def test_flashing_that_was_kept_is_not_asked_for() -> None:
    back = {"label": "back", "pitch": "6:12", "plan": "40 ft x 14 ft", "step_flashing_ft": "12"}
    rows = _rows(
        [{"what": "shingles"}], **{"job.slopes.1": back, "job.installation.flashing": "reused"}
    )
    assert Role.FLASHING not in rows


@pytest.mark.parametrize("words", ["permit", "Permit fee", "building permit and overhead"])
def test_the_permit_fee_is_seen(words: str) -> None:
    assert has_permit_fee([ScopeLine(what=words)])


@pytest.mark.parametrize("words", ["no permit fee", "permit by others", "laminated shingles"])
def test_a_scope_without_the_permit_fee_is_seen_too(words: str) -> None:
    assert not has_permit_fee([ScopeLine(what=words)])
