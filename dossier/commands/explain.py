"""`dossier explain ID`: one rule, or one way in which a file cannot be read, in full."""

import argparse
from textwrap import fill
from typing import TYPE_CHECKING

from dossier.commands.given import Here
from dossier.errors import ExitCode
from dossier.values import listed

if TYPE_CHECKING:
    from dossier.reading.shape import ShapeFault
    from dossier.rules.declare import Rule

SAYS = "print one rule in full: why, source, what to do"
EXAMPLE = "dossier explain MAT-001"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the id."""
    command.add_argument("id", metavar="ID", help="the id beside an item, such as MAT-001")


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Print one declaration."""
    from dossier.deeds.explaining import declared
    from dossier.rules.declare import Rule

    found = declared(given.id)
    print(rule_text(found) if isinstance(found, Rule) else shape_text(found))
    return ExitCode.NOTHING_HELD_UP


def rule_text(rule: "Rule") -> str:
    """Return one rule as text for a terminal."""
    from dossier.punchlist import Holds

    holds = listed([held.value for held in Holds if held in rule.holds])
    weight = f"holds {holds}" if holds else rule.lighter.value
    parts = [
        f"{rule.id}  {rule.title}  ({rule.family})",
        "",
        # How a slot is written, a capital first, is no matter of the rule.
        _wrapped("Says", rule.says.replace("!c}", "}")),
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


def shape_text(fault: "ShapeFault") -> str:
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
