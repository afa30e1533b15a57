"""The one time line: each bar's ends on the calendar, nothing outside the drawing, no words on words."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from itertools import pairwise

import pytest

from dossier.assess.shares import course
from dossier.compose.drawings.time_lines import Bar, TimeLine, Words, time_lines
from dossier.terms.coverage import Part
from dossier.trade.coverage import share_after_months
from dossier.words import CoveragePart, Proration
from tests.compose.made import made, pages, printed, resale
from tests.compose.test_handover import REGISTERED
from tests.compose.test_type_width import real_width_mm
from tests.known_good import Known, known_good

SHEET = "terms.kestrelmoor-2026"
FULL_PARTS = f"{SHEET}.levels.2.coverage.parts"
LEFT, RIGHT = 32.0, 140.0
DESCENDER = 0.3
"""Below its foot no letter of the face reaches further than this part of its size (hhea table: 293 of 1000)."""

LONG = "The Wholly Extraordinary And Never Before Seen Assembly Of Everything That Lies On A Roof"
HOSTILE: Mapping[str, Mapping[str, object]] = {
    "as it is": {},
    "no start": {"job.job.completion_signed_on": None},
    "long names": {
        f"{SHEET}.levels.2.level": LONG,
        "job.warranties.0.level": LONG,
        f"{SHEET}.levels.2.coverage.promised_by": "M" + "w" * 100,
        "company.workmanship.title": "\U0001f600 ÄÄÄÄ " * 14,
        "company.workmanship.coverage.promised_by": LONG,
    },
    "60 years": {
        f"{FULL_PARTS}.1.full_pay_years": "60",
        f"{FULL_PARTS}.1.term_years": "60",
        f"{FULL_PARTS}.2.full_pay_years": "20",
        f"{FULL_PARTS}.2.term_years": "199.75",
        f"{FULL_PARTS}.2.method": "whole term",
        f"{SHEET}.levels.0.coverage.transfer.second_owner_years": None,
    },
    "other starts": {"company.workmanship.coverage.starts": "contract"},
    "starts a century apart": {
        "company.workmanship.coverage.starts": "contract",
        "job.job.contract_on": "1903-02-11",
    },
    "passes to nobody": {
        f"{SHEET}.levels.2.coverage.transfer.allowed": "no",
        f"{SHEET}.levels.0.coverage.transfer": None,
    },
    "a late last day": {f"{SHEET}.levels.2.registration.within_days": "9000"},
}


def doubled(known: Known, times: int) -> Known:
    """Return the job with each coverage as many times over, under names of their own."""
    lines = tuple(
        replace(line, title=f"{line.title} {number}")
        for number in range(times)
        for line in known.assessment.coverages
    )
    return replace(known, assessment=replace(known.assessment, coverages=lines))


def drawings(edits: Mapping[str, object], times: int = 1) -> tuple[TimeLine, ...]:
    known = known_good(edits)
    return time_lines((doubled(known, times) if times > 1 else known).assessment)


def one(edits: Mapping[str, object] | None = None) -> TimeLine:
    (drawn,) = drawings(edits or {})
    return drawn


def ends(path: str) -> tuple[float, float]:
    """Return the leftmost and rightmost place of a path."""
    xs = [x for x, _ in corners(path)]
    return min(xs), max(xs)


def corners(path: str) -> list[tuple[float, float]]:
    """Return the corners of a path of the commands M, L, H, V, h, v, l and Z (SVG 1.1, 8.3)."""
    found: list[tuple[float, float]] = []
    x = y = 0.0
    for command, text in re.findall(r"([MLHVlvhZ])([^MLHVlvhZ]*)", path):
        numbers = [float(number) for number in text.split()]
        match command:
            case "M" | "L":
                x, y = numbers
            case "H":
                x = numbers[0]
            case "V":
                y = numbers[0]
            case "h":
                x += numbers[0]
            case "v":
                y += numbers[0]
            case "l":
                x, y = x + numbers[0], y + numbers[1]
        found.append((x, y))
    return found


def place(start: date, on: date, years: int) -> float:
    """Return where a day stands: by the calendar's own day numbers, the axis being so many years long."""
    first, last = start.toordinal(), start.replace(year=start.year + years).toordinal()
    return LEFT + (RIGHT - LEFT) * (on.toordinal() - first) / (last - first)


def bars(drawn: TimeLine, first: int, last: int) -> dict[str, Bar]:
    return {bar.label: bar for bar in drawn.bars[first:last]}


def test_each_bar_ends_on_its_day() -> None:
    shingle, full = bars(one(), 0, 4), bars(one(), 5, 12)
    start = date(2026, 9, 21)
    told = {  # full pay to, end: read off the printed terms of the demo, clauses 2.1 to 2.17
        "Labour": (shingle["Labour"], 2031, 2031),
        "Wind": (shingle["Wind"], 2036, 2036),
        "Algae": (shingle["Algae"], 2031, 2041),
        "Labour, full": (full["Labour"], 2076, 2076),
        "Workmanship, full": (full["Workmanship"], 2046, 2051),
        "Wind, full": (full["Wind"], 2041, 2041),
        "Algae, full": (full["Algae"], 2036, 2051),
    }
    for name, (bar, paid, end) in told.items():
        places = [place(start, date(year, 9, 21), 50) for year in (2026, paid, end)]
        assert ends(bar.full) == pytest.approx(places[:2], abs=0.05), name
        assert bool(bar.rest) == (paid != end), name
        if bar.rest:
            assert ends(bar.rest) == pytest.approx(places[1:], abs=0.05), name
        assert (bar.note, bar.arrow) == (str(end), "")


def test_a_later_start_is_drawn_later() -> None:
    drawn = one({"company.workmanship.coverage.starts": "contract"})
    own = drawn.bars[4]
    signed = known_good().case.job.job.contract_on
    assert own.label == "Workmanship"
    assert signed is not None
    to = signed.replace(year=signed.year + 10)
    years = (date(signed.year + 50, 9, 21) - signed).days / 365.2425
    by_years = [
        LEFT + (RIGHT - LEFT) * (day - signed).days / 365.2425 / years for day in (signed, to)
    ]
    assert ends(own.full) == pytest.approx(by_years, abs=0.05)
    labour = drawn.bars[1]
    assert ends(labour.full)[0] > LEFT + 0.05
    headings = [line.text for line in drawn.words if line.weight == "700"]
    assert headings[0] == "Shingle level, Kestrelmoor: holds now; starts 21 September 2026"
    assert headings[1] == "Ormskar workmanship coverage, Ormskar Roofing: holds now"


def test_the_prorated_part_is_as_high_as_its_share() -> None:
    material = one().bars[0]
    foot = max(y for _, y in corners(material.rest))
    tall = foot - min(y for _, y in corners(material.full))
    heights = {x: (foot - y) / tall for x, y in corners(material.rest) if y < foot - 0.01}
    # Clause 2.1: whole term over 40 years, never under 20 %, which 32 years of 40 leave.
    assert heights[max(heights)] == pytest.approx(0.2, abs=0.01)
    floor_at = min(x for x, height in heights.items() if height < 0.21)
    assert floor_at == pytest.approx(place(date(2026, 9, 21), date(2058, 9, 21), 50), abs=0.05)
    assert (material.note, material.open_full, bool(material.arrow)) == ("for life", False, True)


STAIRS = {
    f"{FULL_PARTS}.0": {
        "part": "material",
        "full_pay_years": "15",
        "term_years": "40",
        "method": "table",
        "table": [
            {"after_years": "15", "share": "80 %"},
            {"after_years": "20", "share": "60 %"},
            {"after_years": "30", "share": "30 %"},
        ],
    }
}


def test_a_table_falls_by_stairs() -> None:
    bar = one(STAIRS).bars[5]
    found = corners(bar.rest)
    foot = max(y for _, y in found)
    tall = foot - min(y for _, y in corners(bar.full))
    level = [
        (x1, x2, round((foot - y1) / tall, 2))
        for (x1, y1), (x2, y2) in pairwise(found)
        if y1 == y2 < foot - 0.01 and x2 > x1
    ]
    start = date(2026, 9, 21)
    at = {year: place(start, date(2026 + year, 9, 21), 50) for year in (15, 20, 30, 40)}
    wanted = [(at[15], at[20], 0.8), (at[20], at[30], 0.6), (at[30], at[40], 0.3)]
    for one_level, told in zip(level, wanted, strict=True):
        assert one_level == pytest.approx(told, abs=0.05)


TERMS: Mapping[str, object] = {
    "part": CoveragePart.MATERIAL,
    "full_pay_years": Fraction(5),
    "term_years": Fraction(30),
    "method": Proration.WHOLE_TERM,
}


@pytest.mark.parametrize(
    "terms",
    [
        {},
        {"method": Proration.PRORATED_PART},
        {"floor": Fraction(1, 4)},
        {
            "term_years": None,
            "lifetime": True,
            "proration_years": Fraction(40),
            "floor": Fraction(1, 5),
        },
        {"term_years": None, "lifetime": True, "proration_years": Fraction(20)},
        {"full_pay_years": Fraction(30)},
        {"full_pay_years": Fraction(0)},
        {"proration_years": Fraction(60)},
    ],
)
def test_the_line_goes_through_the_share_of_every_month(terms: dict[str, object]) -> None:
    part = Part.model_validate({**TERMS, **terms})
    found = course(part, 600)
    calendar = part.on_the_calendar()
    for month in range(found[-1][0] + 1):
        (x1, y1), (x2, y2) = next(
            pair
            for pair in pairwise(found)
            if pair[0][0] <= month <= pair[1][0] and pair[0][0] < pair[1][0]
        )
        drawn = y1 + (y2 - y1) * Fraction(month - x1, x2 - x1)
        # A month more is at most 1/240 of the whole here, the shortest length over which a part falls.
        assert abs(drawn - share_after_months(calendar, month)) <= Fraction(1, 240), month


def test_what_ends_beyond_the_line_is_cut_and_says_so() -> None:
    drawn = one(HOSTILE["60 years"])
    labour, tear_off = drawn.bars[6], drawn.bars[7]
    assert (labour.note, labour.open_full) == ("to year 60", True)
    assert (tear_off.note, tear_off.open_full) == ("to year 199.75", False)
    assert ends(labour.arrow) == (RIGHT, RIGHT + 4)


def test_the_axis_is_as_long_as_the_longest_term() -> None:
    short = {
        f"{SHEET}.levels.{number}.coverage.parts": [
            {"part": "labour", "full_pay_years": "12", "term_years": "12"}
        ]
        for number in (0, 2)
    }
    assert axis_words(one(short)) == ["2026", "2031", "2036", "2041", "2046"]
    assert axis_words(one()) == ["2026", "2036", "2046", "2056", "2066", "2076"]


def axis_words(drawn: TimeLine) -> list[str]:
    top = min(float(line.y) for line in drawn.words)
    return [line.text for line in drawn.words if float(line.y) == top and line.anchor == "middle"]


def test_without_every_start_the_axis_knows_no_calendar() -> None:
    drawn = one(
        {"job.job.completion_signed_on": None, "company.workmanship.coverage.starts": "contract"}
    )
    assert axis_words(drawn) == ["0", "10", "20", "30", "40", "50"]
    assert {ends(bar.full)[0] for bar in drawn.bars} == {LEFT}
    shingle, own, full = [line.text for line in drawn.words if line.weight == "700"]
    assert own.endswith("holds now; starts 18 August 2026"), "the day of the contract on record"
    assert "its start is not on record" in shingle
    assert "its start is not on record" in full
    notes = [bar.note for bar in drawn.bars]
    assert notes.count("10 years") == 2
    assert not any(re.fullmatch(r"\d{4}", note) for note in notes)


def said(drawn: TimeLine) -> str:
    return " ".join(line.text for line in drawn.words)


def test_the_day_to_register_stands_at_its_place() -> None:
    drawn = one()
    (due,) = [shape.path for shape in drawn.shapes if shape.kind == "due"][:1]
    middle = sum(ends(due)) / 2
    assert middle == pytest.approx(place(date(2026, 9, 21), date(2026, 11, 20), 50), abs=0.05)
    assert "Full Assembly level, Kestrelmoor: register by 20 November 2026" in said(drawn)
    registered = one(
        {
            "job.warranties.0.submitted_on": "2026-10-12",
            "job.warranties.0.received_on": "2026-10-14",
            "job.warranties.0.accepted_on": "2026-10-15",
        }
    )
    assert "registered 15 October 2026" in said(registered)
    assert "register by" not in said(registered)
    kinds = {shape.kind for shape in registered.shapes}
    assert ("done" in kinds, "due" in kinds) == (True, False)


def test_a_day_to_register_is_in_words_where_it_has_no_place() -> None:
    drawn = one({"job.job.completion_signed_on": None})
    assert not {"due", "done"} & {shape.kind for shape in drawn.shapes}
    assert "its last day cannot be told yet" in said(drawn)


def test_a_lost_level_asks_for_no_registration() -> None:
    drawn = one({"job.installation.nails_per_shingle": "4"})
    assert "Registration" not in said(drawn)
    assert "Full Assembly" not in said(drawn)
    # Its one point is of a part that pays less by then, and the key still says what a point is.
    assert "runs on beyond this line" in said(drawn)
    assert "last day to register" not in said(drawn)


def test_a_sale_passes_on_until_its_last_day() -> None:
    drawn = one()
    bands = [shape.path for shape in drawn.shapes if shape.kind == "band"][:3]
    start = date(2026, 9, 21)
    # Clauses 5.1 to 5.3: the next owner has 20 years; the company's 10; a roof of at most 20 years.
    for band, year in zip(bands, (2046, 2036, 2046), strict=True):
        assert ends(band) == pytest.approx((LEFT, place(start, date(year, 9, 21), 50)), abs=0.05)
    assert "A sale up to 21 September 2046 passes it on, once." in said(drawn)
    assert "The notice must be received within 60 days of the closing of the sale." in said(drawn)


def test_the_next_owners_last_day_is_marked_where_it_is_sooner() -> None:
    drawn = one()
    marked = {(number, bar.label) for number, bar in enumerate(drawn.bars) if bar.next_owner}
    assert marked == {
        (0, "Material"),
        *(
            (5 + number, label)
            for number, label in enumerate(("Material", "Labour", "Tear-off", "Disposal"))
        ),
    }
    at = sum(ends(drawn.bars[5].next_owner)) / 2
    assert at == pytest.approx(place(date(2026, 9, 21), date(2051, 9, 21), 50), abs=0.05)
    assert "The next owner then has it to 21 September 2051 at most." in said(drawn)


def test_what_does_not_pass_on_has_no_band() -> None:
    drawn = one(HOSTILE["passes to nobody"])
    bands = [shape for shape in drawn.shapes if shape.kind == "band"]
    assert len(bands) == 2, "the company's own, and the key"
    assert "Does not pass on at a sale, by its terms." in said(drawn)
    assert "the terms as typed in here do not say; ask before the sale" in said(drawn)


def box(line: Words) -> tuple[float, float, float, float]:
    size = Fraction(line.size)
    wide = float(real_width_mm(line.text, size, bold=line.weight == "700"))
    x, y = float(line.x), float(line.y)
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[line.anchor]
    return left, y - float(size) * 0.75, left + wide, y + float(size) * DESCENDER


@pytest.mark.parametrize("times", [1, 3, 8])
@pytest.mark.parametrize("name", HOSTILE)
def test_all_stays_in_the_drawing_and_nothing_lies_on_words(name: str, times: int) -> None:
    drawn = drawings(HOSTILE[name], times)
    assert (len(drawn) > 1) == (times > 1)
    assert sum(len(single.bars) for single in drawn) == times * len(drawings(HOSTILE[name])[0].bars)
    nothing_lies_on_words(drawn)


def nothing_lies_on_words(drawn: tuple[TimeLine, ...]) -> None:
    for single in drawn:
        wide, tall = float(single.width), float(single.height)
        assert tall <= 205
        assert ("part" in single.heading) == (len(drawn) > 1)
        shapes = [shape.path for shape in single.shapes]
        for x, y in (corner for path in shapes for corner in corners(path)):
            assert 0 <= x <= wide, (x, y)
            assert 0 <= y <= tall, (x, y)
        boxes = [(box(line), line.text) for line in single.words]
        for shape in single.shapes:
            if shape.kind in ("grid", "frame", "leader", "axis"):
                continue
            low_y, high_y = (f(y for _, y in corners(shape.path)) for f in (min, max))
            low_x, high_x = ends(shape.path)
            for (left, top, right, low), text in boxes:
                apart = right <= low_x or high_x <= left or low <= low_y or high_y <= top
                assert apart, (shape.kind, text)
        for number, ((left, top, right, low), text) in enumerate(boxes):
            assert left >= 0, text
            assert top >= 0, text
            assert right <= wide, text
            assert low <= tall, text
            for (left2, top2, right2, low2), other in boxes[:number]:
                apart = right <= left2 or right2 <= left or low <= top2 or low2 <= top
                assert apart, (text, other)


@pytest.mark.parametrize("name", ["as it is", "long names", "no start", "a late last day"])
def test_many_registrations_are_paged_as_coverages_are(name: str) -> None:
    """A Letter page leaves 205 mm for the drawing."""
    assessment = known_good(HOSTILE[name]).assessment
    many = replace(assessment, asked=assessment.asked * 40)
    drawn = time_lines(many)
    nothing_lies_on_words(drawn)
    (once,) = time_lines(assessment)
    starts = [line.text for line in once.words if line.text.startswith(("Full", LONG[:20]))]
    rows = [line.text for single in drawn for line in single.words if line.text == starts[0]]
    assert len(rows) == 40
    assert sum(len(single.bars) for single in drawn) == len(once.bars)
    labelled = [single for single in drawn if "Registration" in said(single)]
    assert len(labelled) > 1, "each page with registrations says what they are"


def test_the_longest_coverage_fits_a_page() -> None:
    """As many bars as one piece holds, with the most lines above and below them."""
    part = {"part": "labour", "full_pay_years": "12", "term_years": "12"}
    long = {**HOSTILE["long names"], FULL_PARTS: [part] * 45}
    drawn = drawings(long)
    nothing_lies_on_words(drawn)
    assert sum(len(single.bars) for single in drawn) == 50
    assert max(float(single.height) for single in drawn) > 150


def test_what_hangs_on_a_confirmation_is_never_drawn_solid() -> None:
    """The level asked for is not confirmed in the known-good job; the fallback and our own promise hold now."""
    drawn = one()
    kinds = [shape.kind for shape in drawn.shapes]
    unsure = [
        bar
        for bar in drawn.bars
        if any(s.path == bar.full and s.kind == "full-if" for s in drawn.shapes)
    ]
    assert [bar.label for bar in unsure] == [
        *("Material", "Labour", "Tear-off", "Disposal", "Workmanship", "Wind", "Algae"),
    ]
    assert "full" in kinds
    assert "only if it holds: not shown by this record" in said(drawn)
    confirmed = one(dict(REGISTERED))
    assert not [shape for shape in confirmed.shapes if shape.kind.endswith("-if")]


def key_of(drawn: TimeLine) -> list[str]:
    """Return the kinds of points that stand in the key: below the lower axis."""
    axis = max(y for shape in drawn.shapes if shape.kind == "axis" for _, y in corners(shape.path))
    return [
        shape.kind
        for shape in drawn.shapes
        if shape.kind.startswith("open") and min(y for _, y in corners(shape.path)) > axis
    ]


def test_the_key_shows_the_points_that_occur() -> None:
    lost = one({"job.installation.nails_per_shingle": "4"})
    assert [bar.open_full for bar in lost.bars if bar.arrow] == [False]
    assert key_of(lost) == ["open-part"]
    assert {bar.open_full for bar in one().bars if bar.arrow} == {False, True}
    assert key_of(one()) == ["open-part", "open-if"]
    no_fall = {f"{SHEET}.levels.{number}.coverage.parts.0": LIFELONG for number in (0, 2)}
    assert key_of(one(no_fall)) == ["open", "open-if"]
    drawn, in_key = (
        [corners(shape.path) for shape in lost.shapes if shape.kind == "open-part"][number]
        for number in (0, -1)
    )
    sizes = [
        (
            max(x for x, _ in path) - min(x for x, _ in path),
            max(y for _, y in path) - min(y for _, y in path),
        )
        for path in (drawn, in_key)
    ]
    assert sizes[0] == pytest.approx(sizes[1], abs=0.02)


LIFELONG = {"part": "material", "lifetime": "yes", "method": "none", "full_pay_years": "50"}

SHORT_TRANSFERS: Mapping[str, Mapping[str, object]] = {
    "second term first": {"roof_at_most_years": "20", "second_owner_years": "5"},
    "roof's age first": {"roof_at_most_years": "3", "second_owner_years": "5"},
    "its own end first": {"roof_at_most_years": "20", "second_owner_years": "15"},
    "steps into the first owner's": {"second_owner_years": None},
}


@pytest.mark.parametrize(
    ("name", "year"), list(zip(SHORT_TRANSFERS, (2031, 2029, 2036, 2036), strict=True))
)
def test_words_and_band_name_one_last_day_of_a_sale(name: str, year: int) -> None:
    """The company's own coverage starts 21 September 2026 and ends 2036, by the demo's sheet."""
    own = "company.workmanship.coverage.transfer"
    drawn = one({f"{own}.{key}": value for key, value in SHORT_TRANSFERS[name].items()})
    told = re.search(
        r"workmanship coverage[^:]*: holds now\. A sale up to ([^.]*) passes", drawn.title
    )
    assert told is not None
    assert told[1] == f"21 September {year}"
    band = [shape.path for shape in drawn.shapes if shape.kind == "band"][1]
    end = place(date(2026, 9, 21), date(year, 9, 21), 50)
    assert ends(band) == pytest.approx((LEFT, end), abs=0.05)


def test_a_bar_for_life_does_not_let_a_sale_pass_it_on_for_life() -> None:
    assert "A sale up to 21 September 2046 passes it on, once." in one().title.split("Ormskar")[0]
    bare = one({"job.job.completion_signed_on": None}).title
    assert "A sale passes it on, once, up to 20 years from its start." in bare
    assert "as long as it runs" not in bare


def test_a_blank_term_of_the_next_owner_is_the_first_owner_s() -> None:
    """What `second_owner_years` says in docs/sheets.md: blank where he steps into the first's."""
    blank = {
        "company.workmanship.coverage.transfer.second_owner_years": None,
        f"{SHEET}.levels.0.coverage.transfer.second_owner_years": None,
    }
    shingle, own = (one(blank).title.split(name)[1] for name in ("Shingle level", "workmanship"))
    assert "The next owner then has it as long as the first owner would." in own
    has = "The next owner then has labour, wind and algae as long as the first owner would."
    assert has in shingle
    # A lifetime is the first owner's: nobody else can step into it.
    assert (
        "For material the terms name no term for the next owner in place of a lifetime" in shingle
    )
    assert "A sale passes it on, once, as long as it runs." in shingle


def test_a_long_name_does_not_hide_whether_the_coverage_holds() -> None:
    drawn = one(HOSTILE["long names"])
    assert len(drawn.bars) == 12
    headings = " ".join(line.text for line in drawn.words if line.weight == "700")
    assert headings.count(": holds now") == 2
    assert ": only once Kestrelmoor confirms it" in headings


def test_every_kind_of_shape_has_its_look_in_both_editions() -> None:
    edits = {**STAIRS, **HOSTILE["60 years"]}
    job = made(edits)
    for document in (job.handover, resale(job.known)):
        (page,) = [text for text in pages(printed(document).data) if "on one line of years" in text]
        assert "next owner’s last day" in page


def test_a_drawing_of_several_pages_is_printed_whole() -> None:
    known = doubled(known_good(), 4)
    document = made(known=known).handover
    found = [text for text in pages(printed(document).data) if "on one line of years" in text]
    assert len(found) == len(document.time_lines) > 1
    assert "part 1 of" in found[0]
    assert "continued, part 2 of" in found[1]


def test_the_drawing_says_in_words_what_it_shows() -> None:
    title = one().title
    assert title.startswith("Time line of every coverage, from 2026 to 2076.")
    assert "Full Assembly level, Kestrelmoor: only once Kestrelmoor confirms it." in title
    assert "A sale up to 21 September 2046 passes it on" in title
