"""Distances against GeographicLib, the reference library for geodesics on the ellipsoid.

Source: C. F. F. Karney, “Algorithms for geodesics”, Journal of Geodesy 87(1), 2013, and the package
geographiclib, which is good to nanometres.
"""

from fractions import Fraction
from random import Random

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from dossier.trade.places import METRES_PER_FOOT, distance

TOLERANCE = 1e-4
"""Relative; a sphere would be off by up to 0.6 percent, sixty times that."""

FAR_SIDE_TOLERANCE = 6e-3

_LATITUDES = st.fractions(-90, 90, max_denominator=10**6)
_LONGITUDES = st.fractions(-180, 180, max_denominator=10**6)
_POINTS = st.tuples(_LATITUDES, _LONGITUDES)


def reference_m(one: tuple[Fraction, Fraction], other: tuple[Fraction, Fraction]) -> float:
    found = Geodesic.WGS84.Inverse(*map(float, (*one, *other)), Geodesic.DISTANCE)
    return float(found["s12"])


@pytest.mark.parametrize("reach_deg", ["0.00001", "0.001", "0.01", "1", "10"])
@pytest.mark.parametrize("latitude", ["-89", "-47.7", "0", "30", "47.7", "71", "89"])
def test_near_places_agree_with_the_reference(reach_deg: str, latitude: str) -> None:
    chance, reach = Random(f"{reach_deg} {latitude}"), Fraction(reach_deg)
    for _ in range(20):
        one = (Fraction(latitude), Fraction(chance.randrange(-180_000, 180_000), 1000))
        steps = [Fraction(chance.randrange(-1000, 1001), 1000) * reach for _ in range(2)]
        other = (
            max(Fraction(-90), min(Fraction(90), one[0] + steps[0])),
            max(Fraction(-180), min(Fraction(180), one[1] + steps[1])),
        )
        # Half a millimetre is what the result is rounded to.
        wanted = pytest.approx(reference_m(one, other), rel=TOLERANCE, abs=0.0006)
        assert float(distance(one, other).metres) == wanted


@given(_POINTS, _POINTS)
def test_any_two_places_agree_with_the_reference(
    one: tuple[Fraction, Fraction], other: tuple[Fraction, Fraction]
) -> None:
    wanted = reference_m(one, other)
    rel = FAR_SIDE_TOLERANCE if wanted > 18_000_000 else TOLERANCE
    assert float(distance(one, other).metres) == pytest.approx(wanted, rel=rel, abs=0.0006)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ((0, 0), (0, 180)),
        ((90, 0), (-90, 0)),
        ((0, 0), (Fraction(1, 2), Fraction(359, 2))),
        # Here rounding carries the haversine a hair beyond 1.
        ((Fraction("-39.736"), 0), (Fraction("39.736"), 180)),
    ],
)
def test_the_far_side_of_the_earth(one, other) -> None:  # type: ignore[no-untyped-def]
    wanted = pytest.approx(reference_m(one, other), rel=FAR_SIDE_TOLERANCE)
    assert float(distance(one, other).metres) == wanted


def test_a_sphere_would_not_do() -> None:
    # Worked example: one degree of latitude is 110.574 km at the equator and 111.694 km at a pole
    # (NGA.STND.0036; any table of the ellipsoid). On a sphere both would be 111.195 km.
    at_equator = distance((Fraction(-1, 2), 0), (Fraction(1, 2), 0)).metres
    at_pole = distance((89, 0), (90, 0)).metres
    assert round(float(at_equator) / 1000, 3) == 110.574
    assert round(float(at_pole) / 1000, 3) == 111.694


def test_the_date_line_is_crossed() -> None:
    assert distance((0, 180), (0, -180)).metres == 0
    assert float(distance((10, Fraction("179.999")), (10, Fraction("-179.999"))).metres) < 220


def test_either_way_is_as_far() -> None:
    one, other = (Fraction("47.7"), Fraction("-87.1")), (Fraction("47.69"), Fraction("-87.08"))
    assert distance(one, other).metres == distance(other, one).metres
    assert distance(one, one).metres == 0


def test_feet_are_international_feet() -> None:
    # NIST SP 811, appendix B.8: 1 ft is 0.3048 m exactly.
    found = distance((Fraction("47.7"), Fraction("-87.1")), (Fraction("47.703"), Fraction("-87.1")))
    assert found.feet * Fraction("0.3048") == found.metres
    assert Fraction("0.3048") == METRES_PER_FOOT
    assert "47.700000, -87.100000" in str(found.working.with_numbers)


@pytest.mark.parametrize("point", [(91, 0), (-91, 0), (0, 181), (0, Fraction(-1801, 10))])
def test_what_is_not_on_the_earth_is_refused(point: tuple[int, int]) -> None:
    with pytest.raises(ValueError, match="not on the earth"):
        distance(point, (0, 0))


def test_a_float_is_refused() -> None:
    with pytest.raises(TypeError, match="needed a whole number or a Fraction"):
        distance((47.7, 0), (0, 0))  # type: ignore[arg-type]
