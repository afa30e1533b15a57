"""`dossier explain ID`: one rule, or one way in which a file cannot be read, in full."""

from difflib import get_close_matches
from textwrap import fill

from dossier.errors import ExitCode, WrongCommand
from dossier.punchlist import Holds
from dossier.reading.shape import SHAPE_FAULTS, ShapeFault
from dossier.rules.book import rule_book
from dossier.rules.declare import Rule
from dossier.values import listed


def run_explain(id_: str) -> ExitCode:
    """Print one declaration; raises WrongCommand for an id that nobody declared."""
    wanted = id_.upper()
    found: Rule | ShapeFault | None = rule_book().get(wanted)
    if found is None:
        found = next((fault for fault in SHAPE_FAULTS if fault.id == wanted), None)
    if found is None:
        known = [one.id for one in rule_book()] + [fault.id for fault in SHAPE_FAULTS]
        near = get_close_matches(wanted, known, n=3, cutoff=0.4)
        hint = f"Near it are {listed(near)}. " if near else ""
        raise WrongCommand(
            f"No rule has the id “{id_}”.", f"{hint}Ids stand beside each item of a punch list."
        )
    print(rule_text(found) if isinstance(found, Rule) else shape_text(found))
    return ExitCode.NOTHING_HELD_UP


def rule_text(rule: Rule) -> str:
    """Return one rule as text for a terminal."""
    holds = listed([held.value for held in Holds if held in rule.holds])
    weight = f"holds {holds}" if holds else rule.lighter.value
    parts = [
        f"{rule.id}  {rule.title}  ({rule.family})",
        "",
        _wrapped("Says", rule.says),
        _wrapped("Why", rule.why),
        _wrapped("Source", rule.source),
        _wrapped("Owed by", rule.owed_by.value),
        _wrapped("What to do", rule.remedy),
        _wrapped("Asks for", rule.asks or "nobody is written to"),
        _wrapped("Weight", weight),
    ]
    if rule.cannot_tell:
        parts.append(_wrapped("Cannot tell", rule.cannot_tell))
    found = [example.finds for example in rule.examples if example.finds]
    parts += ["", "For example:", *(_wrapped(" ", sentence) for sentence in found)]
    return "\n".join(parts)


def shape_text(fault: ShapeFault) -> str:
    """Return one way of being unreadable as text for a terminal."""
    return "\n".join(
        [
            f"{fault.id}  {fault.title}  (the record cannot be read)",
            "",
            _wrapped("Why", fault.why),
            _wrapped("Owed by", "office"),
            _wrapped("What to do", fault.remedy),
            _wrapped("Weight", "holds everything: nothing can be judged or built"),
        ]
    )


def _wrapped(label: str, text: str) -> str:
    indent = " " * 14
    return fill(text, 96, initial_indent=f"{label:<14}", subsequent_indent=indent)
