"""The line of working that a document prints: the numbers in it, and that every result has one."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from dossier.trade.deadlines import (
    check_permit_gap,
    deadline,
    lead_record_due,
    recoverable_depreciation,
)
from dossier.trade.deck import (
    PricedRepair,
    check_board_span,
    check_gap,
    check_moisture,
    check_panel_span,
    check_prices,
)
from dossier.trade.fasteners import (
    check_nail_length,
    nail_length_asked,
    nailing_asked,
)
from dossier.trade.geometry import rake_length
from dossier.trade.ice_barrier import Eave, covered_by, local_reach, model_code_reach
from dossier.trade.roof import cross_check
from dossier.trade.takeoff import (
    WASTE_BANDS,
    SuppliedLine,
    compare,
    drip_edge_need,
    field_need,
    pieces_for,
)
from dossier.trade.underlayment import check_attachment, underlayment_rule
from dossier.trade.ventilation import AtticSpace, check_space, literal_ratio, upper_high
from dossier.trade.wind import check_class, standard_conditions
from dossier.trade.working import Working

ISSUED = date(2025, 1, 10)
EAVE = Eave(6, 12, Fraction(13, 2), 100)

LINES: list[tuple[Working, str]] = [
    (rake_length(14, 6).working, "14 ft × 1.118 = 15.65 ft"),
    (
        cross_check("area", 1021, 1000, Fraction(2, 100), "sq ft").working,
        "area: |1,021 - 1,000| = 21 sq ft > 2 % × 1,000 = 20 sq ft",
    ),
    (model_code_reach(EAVE, 2021).working, "36 in × 1.118 = 40.25 in"),
    (model_code_reach(Eave(8, 0), 2021).working, "24 in × 1.2019 = 28.84 in; 36 in is more"),
    (
        local_reach(EAVE, 30, 12, "a local rule").working,
        "18.5 in × 1.118 + 12 in = 32.68 in; the larger is 32.68 in",
    ),
    (covered_by(3).working, "36 in + 2 × 32 in = 100 in"),
    (
        underlayment_rule(3, 2018, vult_mph=115).working,
        "3:12: two layers, head lap 19 in, exposure 17 in",
    ),
    (
        underlayment_rule(6, 2018, vult_mph=115).working,
        "6:12: one layer, head lap 2 in, exposure 34 in",
    ),
    (check_attachment(True, False).working, "no caps"),
    (check_attachment(True, True, 6, 12).working, "within the grid"),
    (check_attachment(False, False).working, "outside high wind"),
    (
        field_need(1200, WASTE_BANDS["gable"]).working,
        "roof = 1,200 sq ft; with 5 % to 10 % waste 1,260 to 1,320 sq ft",
    ),
    (
        compare(field_need(1200, WASTE_BANDS["gable"]), [SuppliedLine(10, 100)]).working,
        "1,000 sq ft; least 1,176, most 1,400 sq ft; short by 200 sq ft",
    ),
    (drip_edge_need([40, 40]).working, "80 ft as one run: 9 pieces; edge by edge: 10"),
    (pieces_for(40).working, "(40 ft - 0.17 ft) ÷ (10 ft - 0.17 ft) = 4.05, so 5"),
    (nail_length_asked(Fraction(1, 2), Fraction(1, 4)).working, "0.25 in + 0.5 in = 0.75 in"),
    (
        nailing_asked(4, 22, high_wind_count=6).working,
        "code 4, maker 4, high wind 6: 6 per shingle; 22:12 is steep",
    ),
    (
        check_space(AtticSpace("main", 1500, 300, 400), 2021, 5).working,
        "1,500 sq ft × 144 ÷ 300 = 720 sq in; exhaust 300 of 288, intake 400 of 360 sq in",
    ),
    (
        literal_ratio(2021, 6, None, Fraction(45, 100)).working,
        "vapour retarder cannot tell, high vents 40 to 50 % met: cannot tell",
    ),
    (
        check_class(120, "D7158", "D").working,
        "120 mph: row 129 mph accepts D7158 G, H; class D is not among them",
    ),
    (standard_conditions("D", 25, False).working, "exposure D"),
    (standard_conditions("C", 25, False).working, "within all three"),
    (check_gap(Fraction(3, 16), Fraction(1, 4)).working, "0.1875 in against 0.25 in"),
    (
        check_panel_span("24/16", 24, False, 70).working,
        "24/16: 24 in against 24 in; live load 70 psf against 40 psf",
    ),
    (check_board_span(Fraction(5, 8), 24).working, "0.625 in at 24 in"),
    (check_moisture(23, "board").working, "23 % against 19 %"),
    (
        check_prices([PricedRepair(3, Decimal("78.50"))], Decimal(200), None).working,
        "repairs $235.50; change orders $200.00, invoice ?",
    ),
    (deadline(date(2025, 3, 14), 60).working, "2025-03-14 + 60 days = 2025-05-13"),
    (check_permit_gap(ISSUED, date(2025, 7, 20)).working, "2025-01-10 to 2025-07-20 = 191 days"),
    (
        lead_record_due(date(2025, 3, 14), None).working,
        "invoice none yet; 2025-03-14 + 30 days = 2025-04-13; due 2025-04-13",
    ),
    (
        recoverable_depreciation(
            Decimal(18500), Decimal(20000), Decimal(1000), Decimal(13000)
        ).working,
        "$18,500.00 - $1,000.00 - $13,000.00 = $4,500.00",
    ),
]


@pytest.mark.parametrize(("working", "numbers"), LINES)
def test_the_numbers_in_the_working(working: Working, numbers: str) -> None:
    assert str(working.with_numbers) == numbers
    assert working.formula
    assert working.source


def test_what_is_needed_is_named() -> None:
    assert check_board_span(None, 24).needs == ("board thickness",)
    assert check_board_span(Fraction(1, 2), None).needs == ("rafter spacing",)
    assert check_board_span(Fraction(1, 2), 24).needs == ("a licensed engineer",)
    assert literal_ratio(2021, 6, None, None).needs == (
        "vapour retarder and climate zone",
        "high vents as a share",
    )
    assert literal_ratio(2021, 6, "class II", None).needs == ("high vents as a share",)
    assert check_panel_span(None, None, None, None).needs == ("span rating", "rafter spacing")


def test_how_much_is_missing() -> None:
    asked = nail_length_asked(Fraction(3, 4), Fraction(1, 4))
    assert check_nail_length(asked, Fraction(7, 8)).short_in == Fraction(1, 8)
    # Exhaust above intake bars 1/300, whatever the retarder: 1/150 asks for 720 of 1,440 low.
    space = AtticSpace("main", 1500, 400, 360)
    assert check_space(space, 2021, 7).intake_short_sqin == 360
    # Three feet below the ridge is still high enough, by the words "no lower than".
    assert literal_ratio(2021, 3, None, Fraction(45, 100), upper_high(3, False)).ratio == 300
