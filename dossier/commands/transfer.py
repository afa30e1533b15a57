"""`dossier transfer JOB`: which coverages pass at a sale, until when, and the papers of it."""

from dossier.answering import answer_sale
from dossier.commands.after import AfterAsked, new_entry, print_answered, sealed_job
from dossier.errors import ExitCode
from dossier.values import Clock
from dossier.words import EntryKind


def run_transfer(asked: AfterAsked, clock: Clock) -> ExitCode:
    """Seal a sale with its documents beside the job, and print what was written and by when to give notice."""
    job = sealed_job(asked, clock)
    return print_answered(asked, answer_sale(job, new_entry(asked, job, EntryKind.SOLD, "sale")))
