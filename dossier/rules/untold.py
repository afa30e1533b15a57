"""What cannot be told: one sentence for it, and one item for each fact that is missing.

In: questions that stay open, places in the record that are blank. Out: sentences, items. Must not know any
one rule. All sentences of “cannot tell” are made here.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from dossier.punchlist import Item, Sends, Untold, Verdict, Weight, Where
from dossier.rules.facts import FACTS, address_of
from dossier.said import Answer, Listed, Said, Value, how_many, joined, over_slopes, say


def not_told(untold: Sequence[Untold], lacks: Sequence[str]) -> Said:
    """Return the sentence that says what cannot be told, and what is needed to tell it."""
    needs, many = _needs(untold, lacks)
    clauses = over_slopes(one.question for one in untold)
    if len(clauses) == 1:
        if _is_answer(needs):
            text = "{clause!c} cannot be told: the record does not say {needs}."
        elif many:
            text = "{clause!c} cannot be told: {needs} are needed."
        else:
            text = "{clause!c} cannot be told: {needs} is needed."
        return say(text, clause=clauses[0], needs=needs)
    text = "Without knowing {needs} nobody can tell {clauses}, or {last}."
    if len(clauses) > 2:
        text = "Without knowing {needs} nobody can tell {clauses}; or {last}."
    return say(text, needs=needs, clauses=Listed(clauses[:-1], "; "), last=clauses[-1])


def _needs(untold: Sequence[Untold], lacks: Sequence[str]) -> tuple[Value, bool]:
    """Return what is needed in words, and whether it is more than one thing."""
    told = list(dict.fromkeys(_plain(one.needs) for one in untold))
    facts = [FACTS.get(address) for address in dict.fromkeys(map(address_of, lacks))]
    known = [fact for fact in facts if fact is not None]
    if len(told) > 1 and known and len(known) == len(facts):
        told = list(dict.fromkeys(fact.name for fact in known))
    # A rule may ask for less than the whole fact, such as the first day of the work.
    many = len(told) > 1 or any(fact.plural and fact.name in told for fact in known)
    return Listed(tuple(told)), many or any(how_many(one) > 1 for one in told)


def _plain(needs: Value) -> Value:
    """Return words without a slot as the bare words, so that a fact is the same however it was said."""
    bare = isinstance(needs, Said) and not isinstance(needs, Answer) and not needs.values
    return str(needs) if bare else needs


def _is_answer(needs: Value) -> bool:
    """Return whether what is needed, or the first of it, is no thing but an answer."""
    while isinstance(needs, Listed):
        needs = needs.parts[0]
    return isinstance(needs, Answer)


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
    untold = tuple(
        sorted({one for item in items for one in item.untold}, key=lambda one: one.sort_key)
    )
    place = next(filter(None, map(where, lacks)), first.where)
    holds = frozenset().union(*(item.holds for item in items))
    soonest = min(items, key=lambda item: item.due or date.max)
    sends = max((item.manner.sends for item in items), key=list(Sends).index)
    by_question = sorted(items[1:], key=lambda item: [one.sort_key for one in item.untold])
    asks = [item.asks for item in (first, *by_question) if item.asks]
    return Item(
        rule=first.rule,
        weight=Weight.HOLDS if holds else first.weight,
        verdict=Verdict.CANNOT_TELL,
        says=not_told(untold, lacks),
        why=joined(item.why for item in items),
        source="; ".join(dict.fromkeys(item.source for item in items)),
        owed_by=first.owed_by,
        remedy=joined(item.remedy for item in items),
        holds=holds,
        due=soonest.due,
        where=place,
        asks=joined(asks) if asks else None,
        manner=replace(first.manner, sends=sends, due_is=soonest.manner.due_is),
        life_safety=any(item.life_safety for item in items),
        lacks=lacks,
        untold=untold,
    )


def in_order(path: str) -> list[tuple[int, str]]:
    """Return what sorts paths as a person counts: slopes.9 before slopes.10."""
    return [(int(part), "") if part.isdigit() else (-1, part) for part in path.split(".")]
