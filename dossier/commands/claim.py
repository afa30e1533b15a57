"""`dossier claim JOB`: what was promised, built and seen at one place, and the papers of a claim."""

from dossier.commands.after import AfterAsked, show_then_seal
from dossier.deeds.answering import prepare_claim
from dossier.errors import ExitCode
from dossier.values import Clock
from dossier.words import EntryKind


def run_claim(asked: AfterAsked, clock: Clock) -> ExitCode:
    """Show a claim with what would be written, or seal it beside the job; print what is held."""
    return show_then_seal(asked, clock, EntryKind.CLAIM, prepare_claim)
