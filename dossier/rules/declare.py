"""How a rule is declared, and how declarations become items.

In: a case, facts, an assessment, a run. Out: a `PunchList`. Must not know any one rule. `@rule` refuses,
at import, a repeated id, an empty field, or a rule without both kinds of example.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from inspect import signature
from types import MappingProxyType

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Item, Manner, Party, SettledBy, Untold, Verdict, Weight, Where
from dossier.rules.facts import in_words
from dossier.rules.families import FAMILIES
from dossier.rules.untold import not_told
from dossier.said import File, Product, Said, Slopes, Value, as_said, write
from dossier.values import Run, listed

NOT_NAMED = "not named"

ASKED = "asked"
"""Of a fact that a rule rests on: left blank where the roof makes it matter, the rule says that it cannot
tell and asks for it."""

GROUND: Mapping[str, str] = MappingProxyType(
    {
        "job.slopes": "COD-020 asks for the slopes.",
        "job.slopes.*.pitch": "COD-001 asks for it.",
        "job.job.scope": "DEC-001 asks for it.",
        "job.work": "ORD-003 asks for the days of the work.",
        "job.deliveries": "MAT-004 asks for every role that no delivery shows.",
        "job.deliveries.*.lines": "MAT-004 asks for every role that no delivery shows.",
        "job.decks": "DEC-008 asks for the deck.",
        "job.warranties": "REG-008 asks for the warranty.",
        "job.permit.closed_on": "PER-003 asks for it; a permit that is closed is held up by nothing.",
        "job.permit.inspections": "PER-002 asks for what the locality inspects.",
        "job.permit.inspections.*.result": "PER-002 asks for it.",
    }
)
"""Facts that rules of every family may stand on without saying so: one rule asks for each, so that a blank is
never silent. A rule that says otherwise of one of them is believed."""


@dataclass(frozen=True)
class Fault:
    """One finding of a rule at one place.

    values: what the rule's sentence needs. needs: for a verdict of “cannot tell”, what must be known; where it is
    left empty, the names of what is lacking. holds: where this finding holds less than the rule may; None for
    all of it. owed_by, remedy: where this finding is owed by another party than the rule's, or mended in another
    way. lacks: for a verdict of “cannot tell” or “missing”, the places in the record where a fact is wanted, such
    as `building.wall_in`; a list that has entries stands for one more. lighter: the weight of this finding where
    it holds nothing; the rule's where None. in_danger: False where a rule of life safety finds something that
    puts nobody in danger. settled_by: what settles this finding; what the rule says where None.
    """

    where: Where
    values: Mapping[str, Value] = field(default_factory=dict)
    verdict: Verdict = Verdict.WRONG
    needs: Value = ""
    due: date | None = None
    holds: frozenset[Holds] | None = None
    owed_by: Party | None = None
    remedy: Said | str | None = None
    lacks: tuple[str, ...] = ()
    lighter: Weight | None = None
    in_danger: bool = True
    settled_by: SettledBy | None = None

    @property
    def filled(self) -> Mapping[str, Value]:
        """Return the values as a sentence takes them: a file as a file, and what {slopes} stands for.

        That is the slope of `slope`, or the roof where none is named.
        """
        slope = self.values.get("slope")
        typed = {
            name: _KINDS[name](value) if name in _KINDS and isinstance(value, str) else value
            for name, value in self.values.items()
        }
        return {"slopes": Slopes((write(slope),) if slope else ()), **typed}


_KINDS: Mapping[str, Callable[[str], Value]] = MappingProxyType({"file": File, "product": Product})
"""What a name stands for in every rule: a value of that name is taken as one of that kind."""


@dataclass(frozen=True)
class Example:
    """An edit of the known-good job, and the whole sentence it must find, or None for none.

    edits: dotted address → new value; None takes the field away. Addresses begin with job., photos.,
    facts., terms., locality., company. or run.today.
    """

    edits: Mapping[str, object]
    finds: str | None


Check = Callable[..., Iterator[Fault]]
"""What finds a rule's faults. It names what it looks at, by the names of `GIVEN`."""

GIVEN: Mapping[str, type] = MappingProxyType(
    {"case": Case, "facts": Facts, "assessment": Assessment, "run": Run}
)
"""What a rule may look at: the name of its parameter, and the type that stands beside it."""


@dataclass(frozen=True)
class Rule:
    """One rule, whole.

    looks_at: the names of its check's parameters. asks: what whoever owes it is asked for, in words meant for
    that party. rests_on: address of a fact, such as `job.slopes.*.pitch`, → ASKED, or a whole sentence that says
    why a blank there is no finding of this rule: another rule that asks for it by its id, or what a blank is read
    as. Addresses begin with job., photos., locality., company. or terms.; one of a group stands for all within.
    """

    id: str
    name: str
    family: str
    says: str
    why: str
    source: str
    owed_by: Party
    remedy: str
    asks: str | None
    manner: Manner
    holds: frozenset[Holds]
    lighter: Weight
    cannot_tell: str
    examples: tuple[Example, ...]
    check: Check
    looks_at: tuple[str, ...]
    rests_on: Mapping[str, str]
    told: str = ""
    settled_by: SettledBy = SettledBy.FACT

    @property
    def title(self) -> str:
        """Return the fault's name as words."""
        return self.name.replace("_", " ")

    def items(self, case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Item]:
        """Yield the rule's items for one job."""
        given = {"case": case, "facts": facts, "assessment": assessment, "run": run}
        for fault in self.check(**{name: given[name] for name in self.looks_at}):
            holds = self.holds if fault.holds is None else fault.holds
            assert holds <= self.holds, f"{self.id} holds more than it declares"
            holds -= _held_no_more(assessment)
            assert not fault.due or self.manner.due_is, f"{self.id} does not say what its day is"
            yield Item(
                rule=self.id,
                weight=Weight.HOLDS if holds else fault.lighter or self.lighter,
                verdict=fault.verdict,
                says=self._sentence(fault),
                why=Said(self.why),
                source=self.source,
                owed_by=fault.owed_by or self.owed_by,
                remedy=as_said(fault.remedy) if fault.remedy else Said(self.remedy),
                holds=holds,
                due=fault.due,
                where=fault.where,
                asks=Said(self.asks) if self.asks else None,
                manner=self.manner,
                life_safety=self.manner.life_safety and fault.in_danger,
                lacks=fault.lacks,
                untold=self._untold(fault),
                told=self._told(fault),
                settled_by=fault.settled_by or self.settled_by,
            )

    def _sentence(self, fault: Fault) -> Said:
        if fault.verdict is not Verdict.CANNOT_TELL:
            return Said.of(self.says, fault.filled)
        return not_told(self._untold(fault), fault.lacks)

    def _told(self, fault: Fault) -> Said | None:
        if fault.verdict is Verdict.CANNOT_TELL or not self.told:
            return None
        return Said.of(self.told, fault.filled)

    def _untold(self, fault: Fault) -> tuple[Untold, ...]:
        if fault.verdict is not Verdict.CANNOT_TELL:
            return ()
        assert self.cannot_tell, f"{self.id} does not say what it cannot tell"
        question = Said.of(self.cannot_tell, fault.filled)
        return (Untold(self.id, question, fault.needs or in_words(fault.lacks)),)


def _held_no_more(assessment: Assessment) -> frozenset[Holds]:
    """Return what no item can hold up: a permit that is closed already, and a registration nobody asks for."""
    done: set[Holds] = set()
    if assessment.details.permit_closed:
        done.add(Holds.PERMIT)
    if assessment.asked and not any(one.level.level.registration for one in assessment.asked):
        done.add(Holds.REGISTRATION)
    return frozenset(done)


class Book:
    """The rules by id. Filled while the rule modules are imported, read-only after."""

    def __init__(self) -> None:
        """Start with no rules."""
        self._rules: dict[str, Rule] = {}

    def add(self, rule_: Rule) -> None:
        """Take in a rule; raises ValueError for one that is not whole."""
        if rule_.id in self._rules:
            raise ValueError(f"{rule_.id} is declared twice")
        if not re.fullmatch(r"[A-Z]{3}-\d{3}", rule_.id) or rule_.id[:3] not in FAMILIES:
            raise ValueError(f"{rule_.id} is not an id of a known family")
        for name in ("says", "why", "source", "remedy"):
            if not getattr(rule_, name).strip():
                raise ValueError(f"{rule_.id} has no {name}")
        if not rule_.asks and (rule_.asks is not None or rule_.owed_by not in _NOT_WRITTEN_TO):
            raise ValueError(f"{rule_.id} does not say what the {rule_.owed_by} is asked for")
        if rule_.manner.tells_owner and not rule_.holds and rule_.lighter is Weight.NOTE:
            raise ValueError(f"{rule_.id} is for owners and a note, which no owner's copy holds")
        if not rule_.rests_on:
            raise ValueError(f"{rule_.id} does not say what facts it rests on")
        if rule_.cannot_tell[:1].isupper() or rule_.cannot_tell.endswith("."):
            raise ValueError(
                f"{rule_.id}: cannot_tell is a clause, such as “whether the deck is dry”"
            )
        if {example.finds is None for example in rule_.examples} != {True, False}:
            raise ValueError(f"{rule_.id} needs an example that is found and one that is not")
        self._rules[rule_.id] = rule_

    def __iter__(self) -> Iterator[Rule]:
        """Yield the rules by family, then by id."""
        order = list(FAMILIES)
        return iter(sorted(self._rules.values(), key=lambda r: (order.index(r.id[:3]), r.id)))

    def get(self, id_: str) -> Rule | None:
        """Return the rule of an id, or None."""
        return self._rules.get(id_)


_NOT_WRITTEN_TO = (Party.OFFICE, Party.INSURER)
"""Parties to whom the office sends no page; an insurer is asked by the owner."""


def _looks_at(check: Check) -> tuple[str, ...]:
    """Return the names of a check's parameters; raises ValueError for one that nothing is given for."""
    parameters = signature(check).parameters.values()
    for one in parameters:
        if GIVEN.get(one.name) is not one.annotation:
            raise ValueError(
                f"{check.__name__}: nothing is given for {one}; a rule names {listed(list(GIVEN))}"
            )
    return tuple(one.name for one in parameters)


_BOOK = Book()


def rule(
    *,
    id: str,  # noqa: A002 - it is the rule's id, and reads so in every declaration.
    says: str,
    why: str,
    source: str,
    owed_by: Party,
    remedy: str,
    manner: Manner,
    asks: str | None = None,
    holds: Iterable[Holds] = (),
    lighter: Weight = Weight.WEAKENS,
    cannot_tell: str = "",
    examples: Iterable[Example],
    rests_on: Mapping[str, str],
    told: str = "",
    settled_by: SettledBy = SettledBy.FACT,
    into: Book | None = None,
) -> Callable[[Check], Check]:
    """Return a decorator that declares the function below it as a rule.

    says: the sentence, with the names of a fault's values in braces. told: the same for whoever is not of the
    office, where `says` speaks of its folders. asks: None where nobody is written to: the office does it itself,
    or rings up. cannot_tell: a clause, what cannot be told where an input is missing: “whether the ice barrier on
    {slopes} reaches far enough”; {slopes} stands for “slope back”, or for “slopes back and front” where several
    are concerned. lighter: the weight of a finding that holds nothing. settled_by: what settles it where no typed
    fact does.
    """

    def declare(check: Check) -> Check:
        book = _BOOK if into is None else into
        book.add(
            Rule(
                id=id,
                name=check.__name__,
                family=FAMILIES[id[:3]].title if id[:3] in FAMILIES else "",
                says=says,
                why=why,
                source=source,
                owed_by=owed_by,
                remedy=remedy,
                asks=asks,
                manner=manner,
                holds=frozenset(holds),
                lighter=lighter,
                cannot_tell=cannot_tell,
                examples=tuple(examples),
                check=check,
                looks_at=_looks_at(check),
                rests_on=MappingProxyType(dict(rests_on)),
                told=told,
                settled_by=settled_by,
            )
        )
        return check

    return declare


def declared() -> Book:
    """Return the book; import `dossier.rules.book` to have every rule in it."""
    return _BOOK
