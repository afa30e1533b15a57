"""A build as an office asks for it: the documents written, and the index of the office kept up to date.

In: what is asked of one job. Out: a `Building`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.deeds.office_index import kept_current
from dossier.pipeline import build
from dossier.steps.asked import Asked
from dossier.steps.building import Built
from dossier.values import Clock


@dataclass(frozen=True)
class Building:
    """What was built. of_index: sentences on what could not be done to the index."""

    built: Built
    of_index: Sequence[str] = ()


def build_job(asked: Asked, clock: Clock) -> Building:
    """Build a job; see `pipeline.build`."""
    built = build(asked, clock)
    run = built.checked.run
    if not built.checked.readable:
        return Building(built)
    return Building(built, kept_current(run.office_folder, run.work_folder.parent))
