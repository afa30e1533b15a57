"""`dossier working JOB`: every figure with formula, inputs and where they came from, result, source."""

from textwrap import fill

from dossier.assess.results import Figure
from dossier.commands.check import notes
from dossier.commands.show import items_text, summary, to_stderr
from dossier.errors import ExitCode
from dossier.pipeline import check
from dossier.steps.asked import Asked
from dossier.values import Clock

_LABEL = 10


def run_working(asked: Asked, clock: Clock) -> ExitCode:
    """Print the working of every figure of a job; 3 where the record cannot be read."""
    checked = check(asked, clock)
    to_stderr(f"Office folder: {checked.run.office_folder}")
    for line in notes(checked):
        to_stderr(line)
    if checked.assessment is None:
        print(items_text(checked.punch_list))
        print(summary(checked.number, checked.punch_list, checked.readable))
        return ExitCode.UNREADABLE_INPUT
    print(f"Job {checked.number}, on {checked.run.today.isoformat()}\n")
    print("\n".join(figure_text(figure) for figure in checked.assessment.figures))
    return ExitCode.NOTHING_HELD_UP


def figure_text(figure: Figure) -> str:
    """Return one figure as text that can be followed with a pencil."""
    lines = [
        f"{figure.title}: {figure.result}",
        _wrapped("formula", figure.working.formula),
        _wrapped("numbers", figure.working.with_numbers),
    ]
    lines += [_wrapped("from", f"{name} {value} ({where})") for name, value, where in figure.inputs]
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
