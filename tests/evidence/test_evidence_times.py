"""A camera's clock into UTC, against another library's reading of the same zone data."""

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz
from hypothesis import given
from hypothesis import strategies as st

from dossier.evidence import PhotoFact, taken_at_utc

ZONE = "America/New_York"
ASSUMED = "the job's time zone"


def _taken(at: datetime | None, offset: timedelta | None = None) -> PhotoFact:
    return PhotoFact("a.jpg", True, None, 1, "0", "jpeg", (4, 3), at, offset, None, None, None)


def test_the_camera_s_own_offset_wins_and_nothing_is_assumed() -> None:
    # Worked example: 16:30 at -04:00 is 20:30 UTC (Exif 2.32: 0x9003 less 0x9011).
    fact = _taken(datetime(2025, 3, 14, 16, 30), timedelta(hours=-4))
    assert taken_at_utc(fact, ZoneInfo("Asia/Tokyo")) == (
        datetime(2025, 3, 14, 20, 30, tzinfo=UTC),
        None,
    )


@pytest.mark.parametrize(
    ("local", "utc"),
    [
        # 15 U.S.C. 260a: daylight time from the second Sunday in March to the first in November.
        (datetime(2026, 1, 14, 10), datetime(2026, 1, 14, 15)),
        (datetime(2026, 9, 14, 10), datetime(2026, 9, 14, 14)),
        (datetime(2026, 9, 14, 23, 30), datetime(2026, 9, 15, 3, 30)),
        # The hour that clocks go through twice is taken for its first time.
        (datetime(2026, 11, 1, 1, 30), datetime(2026, 11, 1, 5, 30)),
        (datetime(2026, 11, 1, 2), datetime(2026, 11, 1, 7)),
    ],
)
def test_without_an_offset_the_job_s_zone_is_assumed_and_said(
    local: datetime, utc: datetime
) -> None:
    assert taken_at_utc(_taken(local), ZoneInfo(ZONE)) == (utc.replace(tzinfo=UTC), ASSUMED)


@given(st.datetimes(datetime(1990, 1, 1), datetime(2036, 1, 1)))
def test_the_zone_is_read_as_another_library_reads_it(local: datetime) -> None:
    zone = tz.gettz(ZONE)
    assert zone is not None
    if not tz.datetime_exists(local, zone):
        return
    wanted = local.replace(tzinfo=zone).astimezone(tz.UTC)
    assert taken_at_utc(_taken(local.replace(fold=0)), ZoneInfo(ZONE))[0] == wanted


def test_the_ends_of_the_calendar_are_no_crash() -> None:
    for at in (datetime.min, datetime.max):
        for hours in (-12, 14):
            zone = timezone(timedelta(hours=hours))
            assert taken_at_utc(_taken(at), zone)[1] == ASSUMED
            assert taken_at_utc(_taken(at, timedelta(hours=hours)), UTC)[1] is None


def test_a_photo_without_a_camera_time_has_no_moment() -> None:
    with pytest.raises(ValueError, match=r"a\.jpg has no camera time"):
        taken_at_utc(_taken(None), UTC)
