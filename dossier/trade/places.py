"""How far apart two points on the earth are.

In: latitude and longitude in decimal degrees (WGS 84), north and east positive, exact. Out: a length with
its working. Must not know what lies at either point, nor how well a phone knew where it was.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import asin, atan, cos, radians, sin, sqrt, tan

from dossier.said import Number, say
from dossier.trade.working import Exact, Working, exact

METRES_PER_FOOT = Fraction(3048, 10000)
"""The international foot, exact. Source: NIST Special Publication 811, 2008 edition, appendix B.8."""

EQUATOR_RADIUS_M = 6_378_137
FLATTENING = 1 / 298.257223563
"""The ellipsoid of WGS 84. Source: NGA.STND.0036, version 1.0.0, table 3.1."""

MEAN_RADIUS_M = 6_371_008.8
"""Mean radius of that ellipsoid, (2a + b) / 3. Source: Moritz, Geodetic Reference System 1980."""

_FAR_SIDE_RAD = 3.0
"""Central angle from which the correction grows without bounds, near the point opposite."""


@dataclass(frozen=True)
class Distance:
    """A length along the earth's surface, good to 0.01 percent; 0.6 percent near the far side."""

    metres: Fraction
    working: Working

    @property
    def feet(self) -> Fraction:
        """Return the distance in international feet."""
        return self.metres / METRES_PER_FOOT


def distance(one: tuple[Exact, Exact], other: tuple[Exact, Exact]) -> Distance:
    """Return the shortest way along the ground between two (latitude, longitude) pairs, in degrees.

    Latitudes -90 to 90, longitudes -180 to 180; the date line is crossed where that is shorter. Raises
    ValueError outside. Source: W. D. Lambert, “The distance between two widely separated points on the
    surface of the earth”, Journal of the Washington Academy of Sciences 32(5), 1942.
    """
    (latitude, longitude), (latitude_2, longitude_2) = _checked(one), _checked(other)
    # Reduced latitudes put both points on a sphere, and Lambert's correction takes them back.
    beta = atan((1 - FLATTENING) * tan(radians(latitude)))
    beta_2 = atan((1 - FLATTENING) * tan(radians(latitude_2)))
    half_sum, half_step = (beta + beta_2) / 2, (beta_2 - beta) / 2
    east = radians(longitude_2 - longitude) / 2
    haversine = sin(half_step) ** 2 + cos(beta) * cos(beta_2) * sin(east) ** 2
    # Rounding may carry the opposite point a hair beyond 1, where no angle has that sine.
    angle = 2 * asin(sqrt(min(1.0, haversine)))
    if angle >= _FAR_SIDE_RAD:
        metres = MEAN_RADIUS_M * angle
    elif haversine == 0:
        metres = 0.0
    else:
        along = (angle - sin(angle)) * (sin(half_sum) * cos(half_step)) ** 2 / (1 - haversine)
        across = (angle + sin(angle)) * (cos(half_sum) * sin(half_step)) ** 2 / haversine
        metres = EQUATOR_RADIUS_M * (angle - FLATTENING / 2 * (along + across))
    # Millimetres are far below what any of this is good to, and exact from here on.
    found = Fraction(round(metres * 1000), 1000)
    return Distance(
        found,
        Working(
            "great-circle angle on the WGS 84 ellipsoid, with Lambert's correction for its flattening",
            say(
                "from {one} to {other} = {metres}",
                one=_said(one),
                other=_said(other),
                metres=Number(found, "m", 2),
            ),
            "Lambert 1942; WGS 84",
            "from memory",
        ),
    )


def _checked(point: tuple[Exact, Exact]) -> tuple[float, float]:
    latitude, longitude = exact(point[0], "latitude"), exact(point[1], "longitude")
    if abs(latitude) > 90 or abs(longitude) > 180:
        raise ValueError(f"{_said(point)} is not on the earth")
    return float(latitude), float(longitude)


def _said(point: tuple[Exact, Exact]) -> str:
    return f"{float(point[0]):.6f}, {float(point[1]):.6f}"
