"""A maker's confirmation counts for the one warranty it can be of."""

from dataclasses import replace
from datetime import date

import pytest

from dossier.assess.since import registered_since
from dossier.record.entry import Entry, Registration
from dossier.words import EntryKind
from tests.known_good import known_good


@pytest.mark.parametrize(("named", "expected"), [(False, [None, None]), (True, ["X-1", None])])
def test_a_confirmation_that_fits_two_warranties_confirms_neither(
    named: bool, expected: list[str | None]
) -> None:
    case = known_good().case
    blank = {"confirmation": None, "accepted_on": None}
    first = replace(case.asked[0], warranty=case.asked[0].warranty.model_copy(update=blank))
    other = replace(first, warranty=first.warranty.model_copy(update={"sheet": "another-2026"}))
    told = Registration(
        sheet=first.warranty.sheet if named else None,
        confirmed_on=date(2026, 10, 1),
        confirmation="X-1",
    )
    entry = Entry.model_construct(
        kind=EntryKind.REGISTRATION_CONFIRMED, on=date(2026, 10, 1), registration=told
    )
    found = registered_since(replace(case, asked=(first, other)), [entry])
    assert [one.warranty.confirmation for one in found.asked] == expected
    alone = registered_since(replace(case, asked=(first,)), [entry])
    assert [one.warranty.confirmation for one in alone.asked] == ["X-1"]
