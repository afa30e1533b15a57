"""The rule book as a whole: what it refuses, and that nothing falls between its rules."""

import random
from collections.abc import Iterator
from datetime import date

import pytest

from dossier.assess.results import Met, Standing
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, PunchList, Sends, Weight, Where
from dossier.rules.book import punch_list, rule_book
from dossier.rules.declare import Book, Check, Example, Fault, rule
from dossier.rules.families import FAMILIES
from dossier.values import Run
from dossier.words import DeckKind, PaperKind, Phase, Role
from tests.known_good import Known, known_good

_GOOD = {
    "id": "IDN-901",
    "says": "Something.",
    "why": "A reason.",
    "source": "A source.",
    "owed_by": Party.OFFICE,
    "remedy": "A step.",
    "manner": Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    "rests_on": {"job.slopes": "A reason."},
    "examples": [Example({}, finds="Something."), Example({}, finds=None)],
}


def _declare(book: Book, *, due: bool = False, **changes: object) -> None:
    @rule(**{**_GOOD, **changes}, into=book)  # type: ignore[arg-type]
    def something() -> Iterator[Fault]:
        yield Fault(Where("job.yaml"), due=date(2026, 11, 1) if due else None)


def test_every_family_has_a_rule() -> None:
    assert {one.id[:3] for one in rule_book()} == set(FAMILIES)


@pytest.mark.parametrize("field", ["says", "why", "source", "remedy"])
def test_a_rule_with_an_empty_field_is_refused(field: str) -> None:
    with pytest.raises(ValueError, match=f"has no {field}"):
        _declare(Book(), **{field: " "})


@pytest.mark.parametrize("kept", [0, 1])
def test_a_rule_without_both_kinds_of_example_is_refused(kept: int) -> None:
    examples = [_GOOD["examples"][kept]]  # type: ignore[index]
    with pytest.raises(ValueError, match="needs an example"):
        _declare(Book(), examples=examples)


def test_a_note_for_owners_is_refused() -> None:
    """An owner's copy holds no notes: the rule would be told to nobody, and every example would pass."""
    manner = Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False)
    with pytest.raises(ValueError, match="no owner's copy holds"):
        _declare(Book(), manner=manner, holds=(), lighter=Weight.NOTE)


def test_a_rule_that_rests_on_no_fact_is_refused() -> None:
    with pytest.raises(ValueError, match="what facts it rests on"):
        _declare(Book(), rests_on={})


@pytest.mark.parametrize("argument", sorted(set(_GOOD)))
def test_a_rule_that_leaves_something_out_is_refused(argument: str) -> None:
    whole = {name: value for name, value in _GOOD.items() if name != argument}
    with pytest.raises(TypeError, match=argument):
        rule(**whole, into=Book())  # type: ignore[arg-type]


@pytest.mark.parametrize("argument", ["tells_owner", "sends", "life_safety"])
def test_a_manner_that_leaves_something_out_is_refused(argument: str) -> None:
    whole = {"tells_owner": False, "sends": Sends.UP, "life_safety": False}
    del whole[argument]
    with pytest.raises(TypeError, match=argument):
        Manner(**whole)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "party", [one for one in Party if one not in (Party.OFFICE, Party.INSURER)]
)
def test_a_rule_that_asks_nothing_of_whoever_owes_it_is_refused(party: Party) -> None:
    with pytest.raises(ValueError, match=f"what the {party.value} is asked for"):
        _declare(Book(), owed_by=party)
    with pytest.raises(ValueError, match="is asked for"):
        _declare(Book(), asks="")
    _declare(Book(), owed_by=party, asks="Tell us.")


def test_a_day_without_words_for_it_is_refused() -> None:
    book, known = Book(), known_good()
    _declare(book, due=True)
    [only] = book
    with pytest.raises(AssertionError, match="what its day is"):
        list(only.items(known.case, known.facts, known.assessment, known.run))


def test_a_rule_is_given_what_it_names_and_nothing_else() -> None:
    given: list[object] = []

    def something(run: Run, case: Case) -> Iterator[Fault]:
        given.extend((run, case))
        yield Fault(Where("job.yaml"))

    book, known = Book(), known_good()
    rule(**_GOOD, into=book)(something)  # type: ignore[arg-type]
    [only] = book
    list(only.items(known.case, known.facts, known.assessment, known.run))
    assert given == [known.run, known.case]
    assert only.looks_at == ("run", "case")


def _of_an_unknown_name(weather: Case) -> Iterator[Fault]:
    yield Fault(weather.where("job"))


def _of_another_type(case: Run) -> Iterator[Fault]:
    yield Fault(Where(str(case.today)))


@pytest.mark.parametrize("check", [_of_an_unknown_name, _of_another_type])
def test_a_rule_that_looks_at_what_nobody_gives_is_refused(check: Check) -> None:
    declare = rule(**_GOOD, into=Book())  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="nothing is given for"):
        declare(check)


def test_a_repeated_id_is_refused() -> None:
    book = Book()
    _declare(book)
    with pytest.raises(ValueError, match="declared twice"):
        _declare(book)


def test_an_id_of_no_family_is_refused() -> None:
    with pytest.raises(ValueError, match="not an id of a known family"):
        _declare(Book(), id="XYZ-001")


def test_no_rule_is_named_for_a_wish() -> None:
    assert [one.name for one in rule_book() if one.name.startswith(("check", "validate"))] == []


def _all_examples() -> list[Known]:
    return [known_good(example.edits) for one in rule_book() for example in one.examples]


@pytest.fixture(scope="module")
def examples() -> list[Known]:
    return _all_examples()


def test_a_level_whose_condition_is_not_met_holds_registration(examples: list[Known]) -> None:
    """Some conditions have rules of their own; none may fall between them."""
    fallen = [
        (leaf.condition.clause, leaf.because, known.case.lines.file)
        for known in examples
        if known.punch_list.is_ready(Holds.REGISTRATION)
        for result in known.assessment.asked
        for leaf in result.level.conditions
        if leaf.met is not Met.MET
    ]
    assert fallen == []


def test_the_order_of_the_rules_does_not_change_the_list(examples: list[Known]) -> None:
    shuffled = list(rule_book())
    random.Random(7).shuffle(shuffled)
    for known in examples[::15]:
        other = punch_list(known.case, known.facts, known.assessment, known.run, shuffled)
        assert other == known.punch_list


def test_weight_follows_from_what_is_held(examples: list[Known]) -> None:
    for known in examples:
        for item in known.punch_list:
            assert (item.weight is Weight.HOLDS) == bool(item.holds)


def test_a_rule_holds_no_more_than_it_declares() -> None:
    book = Book()
    _declare(book)
    [only] = book
    known = known_good()
    items = PunchList.of(only.items(known.case, known.facts, known.assessment, known.run))
    assert [item.weight for item in items] == [Weight.WEAKENS]


_CONDITIONS: dict[str, object] = {
    **{f"same_maker {role}": {"same_maker": role.value} for role in Role},
    **{f"lots_of {role}": {"lots_of": role.value} for role in Role},
    **{f"photos_of {phase}": {"photos_of": phase.value} for phase in Phase},
    **{f"papers {kind}": {"papers": kind.value} for kind in PaperKind},
    **{f"deck {kind}": {"deck": {"kinds": kind.value}} for kind in DeckKind},
    **{
        name: {name: "yes"}
        for name in (
            *("full_tear_off", "ventilation", "permit_closed", "owner_signature"),
            *("completion_signed", "paid_in_full"),
        )
    },
    "certification": {"certification": "Another Installer"},
    "nails": {"nails_per_shingle": "9"},
    "starter": {"starter_at": "eaves, rakes"},
    "fee": {"fee": "75.00"},
    "counted": {"counted_accessories": {"at_least": "2", "of": "valley, sealant"}},
    "any": {"any_of": {"at_least": "1", "of": [{"deck": {"kinds": "OSB"}}, {"fee": "1.00"}]}},
}
_BLANKS = (
    *("slopes", "decks", "deliveries", "permit", "work", "installation", "building", "money"),
    *("after_work", "job.completion_signed_on", "job.scope"),
)


@pytest.mark.parametrize("name", _CONDITIONS)
def test_no_kind_of_condition_falls_between_the_rules(name: str) -> None:
    edit = {"terms.kestrelmoor-2026.levels.2.conditions.1": _CONDITIONS[name]}
    _unmet_holds_registration(known_good(edit))


@pytest.mark.parametrize("field", _BLANKS)
@pytest.mark.parametrize("value", [None, "n/a, nobody wrote it down"])
def test_no_blank_and_no_excuse_makes_a_job_ready(field: str, value: str | None) -> None:
    known = known_good({f"job.{field}": value})
    _unmet_holds_registration(known)
    if field == "slopes":
        assert not known.punch_list.is_ready(Holds.HANDOVER)


def _unmet_holds_registration(known: Known) -> None:
    [result] = known.assessment.asked
    unmet = [one for one in result.level.conditions if one.met is not Met.MET]
    lost = result.level.standing is Standing.LOST
    if unmet or lost:
        assert not known.punch_list.is_ready(Holds.REGISTRATION)


@pytest.mark.parametrize(
    ("look", "weight", "danger"),
    [
        ("flues", Weight.HOLDS, True),
        ("boots", Weight.WEAKENS, False),
        ("baffles", Weight.NOTE, False),
    ],
)
def test_an_early_look_weighs_by_what_work_can_harm(
    look: str, weight: Weight, danger: bool
) -> None:
    """Baffles are seen from inside the attic; a flue knocked loose puts people in danger: common practice."""
    edited = known_good({f"job.after_work.{look}": "Ida Torvik, 2026-09-15"})
    [item] = [one for one in edited.punch_list if one.rule == "SAF-002"]
    assert (item.weight, item.life_safety) == (weight, danger)
