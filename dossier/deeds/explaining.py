"""One rule, or one way in which a file cannot be read, by its id.

In: an id as it stands beside an item. Out: its declaration. Must not judge a job.
"""

from difflib import get_close_matches

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
        near = get_close_matches(id_.upper(), list(known), n=3, cutoff=0.4)
        hint = f"Near it are {listed(near)}. " if near else ""
        raise WrongCommand(
            f"No rule has the id “{id_}”.", f"{hint}Ids stand beside each item of a punch list."
        )
    return found
