"""One rule, or one way in which a file cannot be read, by its id.

In: an id as it stands beside an item. Out: its declaration. Must not judge a job.
"""

from dossier.errors import WrongCommand
from dossier.reading.shape import SHAPE_FAULTS, ShapeFault
from dossier.rules.book import rule_book
from dossier.rules.declare import Rule
from dossier.values import listed


def declared(id_: str) -> Rule | ShapeFault:
    """Return one declaration; raises WrongCommand for an id that nobody declared."""
    known: dict[str, Rule | ShapeFault] = {
        **{rule.id: rule for rule in rule_book()},
        **{fault.id: fault for fault in SHAPE_FAULTS},
    }
    found = known.get(id_.upper())
    if found is None:
        family = id_.upper().partition("-")[0]
        own = sorted(one for one in known if one.startswith(f"{family}-"))
        families = sorted({one.partition("-")[0] for one in known})
        hint = (
            f"Those of {family} run from {own[0]} to {own[-1]}."
            if own
            else f"An id begins with {listed(families, 'or')}, as in {next(iter(known))}."
        )
        raise WrongCommand(
            f"No rule has the id “{id_}”.", f"{hint} Ids stand beside each item of a punch list."
        )
    return found
