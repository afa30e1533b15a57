"""Flashing, valleys, crickets and drip edge against worked examples of the code."""

from fractions import Fraction

import pytest

from dossier.trade.flashing import (
    cricket_required,
    drip_edge_faults,
    drip_edge_nails,
    metal_faults,
    side_wall_faults,
    valley_faults,
)


@pytest.mark.parametrize(
    ("edge", "under_metal", "faults"),
    [
        # IRC 2012 onward, R905.2.8.5, looked-up.
        ("eaves", True, ("underlayment under the metal at the eaves",)),
        ("rakes", True, ()),
        ("eaves", False, ()),
        ("rakes", False, ("underlayment over the metal at the rakes",)),
    ],
)
def test_order_at_the_edge(edge: str, under_metal: bool, faults: tuple[str, ...]) -> None:
    assert drip_edge_faults(edge, under_metal) == faults


def test_drip_edge_laps_and_nails() -> None:
    # IRC 2012 onward, R905.2.8.5, looked-up: 2 in laps, nails to 12 in.
    assert drip_edge_faults("rakes", True, 2, 12) == ()
    assert len(drip_edge_faults("rakes", True, 1, 13)) == 2
    assert drip_edge_nails(40) == 41


def test_cricket() -> None:
    # IRC R903.2.2, looked-up. A chimney at the ridge needs none: common practice.
    assert not cricket_required(30)
    assert cricket_required(32)
    assert not cricket_required(32, at_ridge=True)
    assert not cricket_required(48, unit_skylight=True)


def test_valley() -> None:
    # IRC 2015/2018/2021 R905.2.8.2, looked-up.
    assert valley_faults("open metal", 20) == ("lining 20 in wide, 24 in needed",)
    assert valley_faults("open metal", 24) == ()
    assert valley_faults("closed cut", 36) == ()
    assert valley_faults("woven", 35) == ("lining 35 in wide, 36 in needed",)


def test_flashing_metal() -> None:
    # IRC 2018 R905.2.8.1, looked-up.
    assert metal_faults(Fraction(16, 1000)) == ("metal 0.016 in, 0.019 in needed",)
    assert metal_faults(Fraction(19, 1000)) == ()


def test_side_wall() -> None:
    # IRC 2012 onward, R905.2.8.3, looked-up.
    assert side_wall_faults(3, 4) == ("height 3 in, 4 in needed",)
    assert side_wall_faults(4, 4) == ()
