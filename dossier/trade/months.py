"""Calendar months: adding them to a day, and counting those gone by.

In: days and counts of months. Out: days and counts. Must not know what a month is counted for. Two
traps: a month from 31 January has no 31st to land on, and 29 February has an anniversary in one
year of four.
"""

from calendar import monthrange
from datetime import date

ANNIVERSARY_RULES = ("Feb 28", "Mar 1")
"""Where 29 February lands in a common year. Documents differ: choose one and say which."""


def add_months(start: date, months: int, anniversary: str = "Feb 28") -> date:
    """Return the day a number of months after (or, below zero, before) a day.

    A day the target month lacks becomes its last day. anniversary: “Feb 28” or “Mar 1”, for a start
    on 29 February only. Raises ValueError outside the years 1 to 9999.
    """
    if anniversary not in ANNIVERSARY_RULES:
        raise ValueError(f"anniversary rule is “{anniversary}”, needed “Feb 28” or “Mar 1”")
    year, month_less_one = divmod(start.year * 12 + start.month - 1 + months, 12)
    month = month_less_one + 1
    if not 1 <= year <= 9999:
        raise ValueError(f"{start} and {months} months lie outside the years 1 to 9999")
    last = monthrange(year, month)[1]
    leap_start = start.month == 2 and start.day == 29
    if leap_start and month == 2 and last == 28 and anniversary == "Mar 1":
        return date(year, 3, 1)
    return date(year, month, min(start.day, last))


def whole_months(start: date, day: date, anniversary: str = "Feb 28") -> int:
    """Return the whole months gone by from start to day; zero before the first is over.

    The largest n with `add_months(start, n)` not after the day. Raises ValueError when the day is
    before the start.
    """
    if day < start:
        raise ValueError(f"{day} is before {start}")
    months = (day.year - start.year) * 12 + day.month - start.month
    # At most one step off: the calendar months between the two days, less an unfinished last one.
    return months if add_months(start, months, anniversary) <= day else months - 1


def started_months(start: date, day: date, anniversary: str = "Feb 28") -> int:
    """Return the months begun from start to day: none on the start itself, one on the day after.

    Raises ValueError when the day is before the start.
    """
    whole = whole_months(start, day, anniversary)
    return whole if add_months(start, whole, anniversary) == day else whole + 1
