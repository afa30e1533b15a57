"""`dossier transfer JOB`: which coverages pass at a sale, until when, and the papers of it."""

from dossier.commands.after import AfterAsked, show_then_seal
from dossier.deeds.answering import prepare_sale
from dossier.errors import ExitCode
from dossier.values import Clock
from dossier.words import EntryKind


def run_transfer(asked: AfterAsked, clock: Clock) -> ExitCode:
    """Show a sale with what would be written, or seal it beside the job; print by when to give notice."""
    return show_then_seal(asked, clock, EntryKind.SOLD, prepare_sale)
