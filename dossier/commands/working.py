"""`dossier working JOB`: every figure with formula, inputs and where they came from, result, source."""

import argparse
from textwrap import fill
from typing import TYPE_CHECKING

from dossier.commands.given import Here, add_checked_job, asked_of
from dossier.commands.show import heading, to_stderr, unreadable_text
from dossier.errors import ExitCode

if TYPE_CHECKING:
    from dossier.assess.results import Figure

SAYS = "print every figure with its formula, its inputs and where they came from, and its source"
EXAMPLE = "dossier working my-office/2026-061-birch-road"
_LABEL = 10


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job."""
    add_checked_job(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Print the working of every figure of a job; 3 where the record cannot be read."""
    from dossier.pipeline import check

    checked = check(asked_of(given, here), here.clock)
    for line in heading(checked):
        to_stderr(line)
    if not checked.readable:
        print(unreadable_text(checked))
        return ExitCode.UNREADABLE_INPUT
    print(f"Job {checked.number}, on {checked.run.today.isoformat()}\n")
    print("\n".join(figure_text(figure) for figure in checked.assessment.figures))
    return ExitCode.NOTHING_HELD_UP


def figure_text(figure: "Figure") -> str:
    """Return one figure as text that can be followed with a pencil."""
    from dossier.said import write

    lines = [
        f"{figure.title}: {write(figure.result)}",
        _wrapped("formula", str(figure.working.formula)),
        _wrapped("numbers", str(figure.working.with_numbers)),
    ]
    lines += [
        _wrapped("from", f"{name} {write(value)} ({where})") for name, value, where in figure.inputs
    ]
    lines.append(_wrapped("source", f"{figure.working.source} ({figure.working.confidence})"))
    return "\n".join(lines) + "\n"


def _wrapped(label: str, text: str) -> str:
    return fill(
        text,
        100,
        initial_indent=f"  {label:<{_LABEL}}",
        subsequent_indent=" " * (_LABEL + 2),
        break_on_hyphens=False,
    )
