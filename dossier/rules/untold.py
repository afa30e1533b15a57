"""What cannot be told: one sentence for it, and one item for each fact that is missing.

In: questions that stay open, places in the record that are blank. Out: sentences, items. Must not know any
one rule. All sentences of “cannot tell” are made here.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from dossier.punchlist import Item, Sends, Untold, Verdict, Weight, Where
from dossier.rules.facts import FACTS, address_of
from dossier.values import listed

SLOPES = "slopes"
"""The name in a question's braces that stands for every slope it concerns."""

_QUESTIONS = ("whether ", "how ")
"""How a need begins that is no thing but an answer."""


def not_told(untold: Sequence[Untold], lacks: Sequence[str]) -> str:
    """Return the sentence that says what cannot be told, and what is needed to tell it."""
    needs, many = _needs(untold, lacks)
    clauses = _clauses(untold)
    if len(clauses) == 1:
        clause = clauses[0][0].upper() + clauses[0][1:]
        if needs.startswith(_QUESTIONS):
            return f"{clause} cannot be told: the record does not say {needs}."
        return f"{clause} cannot be told: {needs} {'are' if many else 'is'} needed."
    if len(clauses) == 2:
        return f"Without knowing {needs} nobody can tell {clauses[0]}, or {clauses[1]}."
    return f"Without knowing {needs} nobody can tell {'; '.join(clauses[:-1])}; or {clauses[-1]}."


def _needs(untold: Sequence[Untold], lacks: Sequence[str]) -> tuple[str, bool]:
    """Return what is needed in words, and whether it is more than one thing."""
    told = list(dict.fromkeys(one.needs for one in untold))
    facts = [FACTS.get(address) for address in dict.fromkeys(map(address_of, lacks))]
    known = [fact for fact in facts if fact is not None]
    if len(told) > 1 and known and len(known) == len(facts):
        told = list(dict.fromkeys(fact.name for fact in known))
    # A rule may ask for less than the whole fact, such as the first day of the work.
    many = len(told) > 1 or any(fact.plural and fact.name in told for fact in known)
    return listed(told), many or any(" and " in one for one in told)


def _clauses(untold: Sequence[Untold]) -> list[str]:
    """Return each question once, with every slope it concerns."""
    slopes: dict[Untold, list[str]] = {}
    for one in untold:
        alike = Untold(one.rule, one.question, one.named)
        slopes.setdefault(alike, []).append(one.slope)
    return list(dict.fromkeys(_clause(one, labels) for one, labels in slopes.items()))


def _clause(one: Untold, labels: list[str]) -> str:
    named = list(dict.fromkeys(label for label in labels if label))
    word = "slope" if len(named) == 1 else "slopes"
    slopes = f"{word} {listed(named)}" if named else "the roof"
    return one.question.format(**dict(one.named), **{SLOPES: slopes})


def one_item_a_fact(items: Iterable[Item], where: Callable[[str], Where | None]) -> Iterator[Item]:
    """Yield the items with those that cannot be told for want of the same fact made one.

    The same field of several slopes is one fact. Facts that one finding lacks together stand in one item, so
    that no fact is asked for twice. where: the place of a field in the record, None for one of another file.
    """
    groups: list[tuple[set[str], list[Item]]] = []
    for item in items:
        if item.verdict is not Verdict.CANNOT_TELL or not item.lacks:
            yield item
            continue
        facts, alike = set(map(address_of, item.lacks)), [item]
        apart = []
        for group in groups:
            if facts.isdisjoint(group[0]):
                apart.append(group)
            else:
                facts |= group[0]
                alike += group[1]
        groups = [*apart, (facts, alike)]
    for _, alike in groups:
        yield _one(sorted(alike, key=lambda item: item.sort_key), where)


def _one(items: list[Item], where: Callable[[str], Where | None]) -> Item:
    """Return one item that says, asks and holds all that these do; the heaviest gives its id and its party."""
    first = items[0]
    lacks = tuple(sorted({path for item in items for path in item.lacks}, key=in_order))
    untold = tuple(sorted({one for item in items for one in item.untold}))
    place = next(filter(None, map(where, lacks)), first.where)
    holds = frozenset().union(*(item.holds for item in items))
    soonest = min(items, key=lambda item: item.due or date.max)
    sends = max((item.manner.sends for item in items), key=list(Sends).index)
    by_question = sorted(items[1:], key=lambda item: item.untold)
    return Item(
        rule=first.rule,
        weight=Weight.HOLDS if holds else first.weight,
        verdict=Verdict.CANNOT_TELL,
        says=not_told(untold, lacks),
        why=_each(item.why for item in items),
        source=_each((item.source for item in items), "; "),
        owed_by=first.owed_by,
        remedy=_each(item.remedy for item in items),
        holds=holds,
        due=soonest.due,
        where=place,
        asks=_each(filter(None, (item.asks for item in (first, *by_question)))),
        manner=replace(first.manner, sends=sends, due_is=soonest.manner.due_is),
        life_safety=any(item.life_safety for item in items),
        lacks=lacks,
        untold=untold,
    )


def in_order(path: str) -> list[tuple[int, str]]:
    """Return what sorts paths as a person counts: slopes.9 before slopes.10."""
    return [(int(part), "") if part.isdigit() else (-1, part) for part in path.split(".")]


def _each(texts: Iterable[str], between: str = " ") -> str:
    return between.join(dict.fromkeys(texts))
