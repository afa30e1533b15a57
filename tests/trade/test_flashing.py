"""Flashing, valleys, crickets and drip edge against worked examples of the code."""

from dossier.trade.flashing import (
    cricket_required,
    valley_faults,
)


def test_cricket() -> None:
    # IRC R903.2.2, looked-up. A chimney at the ridge needs none: common practice.
    assert not cricket_required(30)
    assert cricket_required(32)
    assert not cricket_required(32, at_ridge=True)
    assert not cricket_required(48, unit_skylight=True)


def test_valley() -> None:
    # IRC 2015/2018/2021 R905.2.8.2, looked-up.
    assert [*map(str, valley_faults("open metal", 20))] == ["lining 20 in wide, 24 in needed"]
    assert valley_faults("open metal", 24) == ()
    assert valley_faults("closed cut", 36) == ()
    assert [*map(str, valley_faults("woven", 35))] == ["lining 35 in wide, 36 in needed"]
