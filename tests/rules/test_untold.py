"""One missing fact is one item: it names the field, every slope it concerns and every open question."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest

from dossier.punchlist import (
    Holds,
    Item,
    Manner,
    Party,
    PunchList,
    Sends,
    Untold,
    Verdict,
    Where,
)
from dossier.rules.book import punch_list
from dossier.rules.declare import Book, Check, Example, Fault, rule
from tests.known_good import Known, known_good

_NO_WALL: dict[str, object] = {"locality.ice_barrier.datum": "inside face"}
"""The known-good job has no wall thickness; by its locality's sheet the outside face counts."""


def _lacking(known: Known, field: str) -> list[Item]:
    return [item for item in known.punch_list if field in item.fields]


def test_a_blank_wall_thickness_is_one_item_that_names_the_field_and_both_slopes() -> None:
    [item] = _lacking(known_good(_NO_WALL), "building.wall_in")
    assert item.says == (
        "Whether the ice barrier on slopes back and front reaches far enough cannot be told: the wall's thickness "
        "is needed."
    )
    assert item.where.field == "building.wall_in"
    assert item.where.line > 1
    assert item.lacks == ("building.wall_in",)
    assert {one.slope for one in item.untold} == {"back", "front"}


def test_the_same_field_of_two_slopes_is_one_fact() -> None:
    line = "faces N, area 626 sq ft, eave 40 ft, rakes 31.3 ft"
    known = known_good({"job.slopes.0": f"front, {line}", "job.slopes.1": f"back, {line}"})
    [item] = [one for one in known.punch_list if one.rule == "COD-001"]
    assert item.lacks == ("slopes.0.pitch", "slopes.1.pitch")
    assert item.says.startswith("Which code rules hold on slopes back and front cannot be told:")


_ORDINARY = Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False)
_GOOD_RULE = {
    "why": "A reason.",
    "source": "A source.",
    "owed_by": Party.CREW,
    "remedy": "Ask.",
    "asks": "Tell us.",
    "manner": _ORDINARY,
    "examples": [Example({}, finds="x"), Example({}, finds=None)],
    "says": "Something.",
    "rests_on": {"job.slopes": "A reason."},
}


def _book(*faults: tuple[str, str, Fault, dict[str, object]]) -> Book:
    book = Book()
    for id_, clause, fault, changes in faults:
        declare = rule(  # type: ignore[arg-type]
            **{**_GOOD_RULE, "id": id_, "cannot_tell": clause, **changes}, into=book
        )
        declare(_finds(fault, f"found_{id_}"))
    return book


def _finds(fault: Fault, name: str) -> Check:
    def found() -> Iterator[Fault]:
        yield fault

    found.__name__ = name
    return found


def _fault(needs: str, *lacks: str, **more: object) -> Fault:
    values = more.pop("values", {})
    return Fault(
        Where("job.yaml", 1, "elsewhere"),
        values,  # type: ignore[arg-type]
        verdict=Verdict.CANNOT_TELL,
        needs=needs,
        lacks=lacks,
        **more,  # type: ignore[arg-type]
    )


def _list(book: Book) -> PunchList:
    known = known_good()
    return punch_list(known.case, known.facts, known.assessment, known.run, book)


def test_rules_that_lack_one_fact_share_an_item_that_holds_and_says_all_they_would() -> None:
    [item] = _list(
        _book(
            (
                "COD-901",
                "whether the nails are long enough",
                _fault("thickness", "decks.0.thickness_in", due=date(2026, 12, 1)),
                {
                    "holds": {Holds.HANDOVER},
                    "manner": replace(_ORDINARY, tells_owner=True, due_is="before snow"),
                },
            ),
            (
                "DEC-901",
                "whether the panels fit",
                _fault("the deck's thickness", "decks.0.thickness_in", due=date(2026, 11, 1)),
                {
                    "holds": {Holds.REGISTRATION},
                    "why": "Another.",
                    "remedy": "Measure.",
                    "asks": "Measure it.",
                    "manner": Manner(
                        tells_owner=False, sends=Sends.UP, life_safety=True, due_is="last day"
                    ),
                },
            ),
            ("MAT-901", "what else", _fault("it", "decks.0.thickness_in"), {}),
        )
    )
    assert item.says == (
        "Without knowing the deck's thickness nobody can tell whether the nails are long enough; whether "
        "the panels fit; or what else."
    )
    assert item.holds == {Holds.HANDOVER, Holds.REGISTRATION}
    assert item.due == date(2026, 11, 1)
    assert item.life_safety
    assert item.asks == "Measure it. Tell us."
    # The day that comes first has its own words; the heaviest rule says whether an owner reads it.
    assert (item.manner.due_is, item.manner.sends) == ("last day", Sends.UP)
    assert not item.manner.tells_owner
    assert set(item.rules) == {"COD-901", "DEC-901", "MAT-901"}
    assert (item.why, item.remedy) in {
        ("A reason. Another.", "Ask. Measure."),
        ("Another. A reason.", "Measure. Ask."),
    }
    assert item.where.field == "decks.0.thickness_in"


def test_facts_that_one_finding_lacks_together_stand_in_one_item() -> None:
    both = _fault("method and width", "installation.valley_method", "installation.valley_lining_in")
    [item] = _list(
        _book(
            ("COD-901", "how the valleys were lined", both, {}),
            ("COD-902", "what drains there", _fault("width", "installation.valley_lining_in"), {}),
            (
                "COD-903",
                "which way it was laid",
                _fault("method", "installation.valley_method"),
                {},
            ),
        )
    )
    assert item.lacks == ("installation.valley_lining_in", "installation.valley_method")
    assert len(item.untold) == 3


def test_another_fact_is_another_item_and_a_finding_that_names_none_stays_as_it_is() -> None:
    items = _list(
        _book(
            ("COD-901", "how it was laid", _fault("the lap", "installation.head_lap_in"), {}),
            ("COD-902", "what it weighs", _fault("the pitch", "slopes.0.pitch"), {}),
            ("COD-903", "who decides", _fault("a licensed engineer"), {}),
        )
    )
    assert [item.says for item in items] == [
        "How it was laid cannot be told: the lap is needed.",
        "What it weighs cannot be told: the pitch is needed.",
        "Who decides cannot be told: a licensed engineer is needed.",
    ]
    assert items.items[2].where.field == "elsewhere"


def test_what_an_example_says_is_what_the_list_says_where_one_rule_lacks_the_fact() -> None:
    book = _book(
        (
            "COD-901",
            "how {what} lies on {slopes}",
            _fault("x", "slopes.0.pitch", values={"what": "it", "slope": "a {b}"}),
            {},
        )
    )
    known = known_good()
    [one] = book
    [alone] = one.items(known.case, known.facts, known.assessment, known.run)
    [listed] = _list(book)
    assert alone.says == listed.says == "How it lies on slope a {b} cannot be told: x is needed."
    assert alone.untold == (
        Untold("COD-901", "how {what} lies on {slopes}", (("what", "it"),), "a {b}", "x"),
    )


def test_a_clause_that_is_a_whole_sentence_is_refused() -> None:
    with pytest.raises(ValueError, match="is a clause"):
        _book(("COD-901", "The thing cannot be told.", _fault("x"), {}))
