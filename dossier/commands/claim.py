"""`dossier claim JOB`: what was promised, built and seen at one place, and the papers of a claim."""

from dossier.answering import answer_claim
from dossier.commands.after import AfterAsked, new_entry, print_answered, sealed_job
from dossier.errors import ExitCode
from dossier.values import Clock
from dossier.words import EntryKind


def run_claim(asked: AfterAsked, clock: Clock) -> ExitCode:
    """Seal a claim with its documents beside the job, and print what was written and what is held."""
    job = sealed_job(asked, clock)
    return print_answered(asked, answer_claim(job, new_entry(asked, job, EntryKind.CLAIM, "claim")))
