"""What was taken over from another job and stands unconfirmed: said once for all of it, never line by line."""

from collections.abc import Iterator

from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.rules.declare import LEFT_TO_OFFICE, Example, Fault, rule
from dossier.rules.facts import in_words

_NOBODY = "Nobody has said that this holds on this roof; it was taken over from job 2026-035: {}."


@rule(
    id="IDN-024",
    says="Nobody has said that this holds on this roof; it was taken over from job {job}: {what}.",
    why="What an office does alike on every house is a guess on the next one, until somebody says so.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Look at each. Where it holds, take the words “as on …” away behind it, or confirm all at once; where "
    "it does not, write over it.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.HANDOVER, Holds.REGISTRATION},
    lighter=Weight.NOTE,
    rests_on={
        "job": "A blank was not taken over; a value that was is read as a blank by every rule that asks for it."
    },
    examples=[
        Example(
            {"job.installation.nails_per_shingle": "6, as on 2026-035"},
            finds=_NOBODY.format("the nails in each shingle"),
        ),
        Example(
            {
                "job.job.locality": "vintermark-2026, as on 2026-035",
                "job.installation.starter_at": "eaves, rakes, as on 2026-035",
            },
            finds=_NOBODY.format("the permit office’s sheet and the edges with starter"),
        ),
        Example({"job.installation.nails_per_shingle": "6"}, finds=None),
        Example({"job.building.attics.0.space": "main, as on 2026-035"}, finds=None),
    ],
)
def taken_over_unconfirmed(case: Case) -> Iterator[Fault]:
    standing = case.lines.taken_over
    for job in dict.fromkeys(one.job for one in standing.values()):
        paths = tuple(path for path, one in standing.items() if one.job == job)
        # What is read as a blank is asked for by other rules; what the record goes by, by none.
        holds = None if any(standing[path].held for path in paths) else frozenset[Holds]()
        yield Fault(
            case.where(paths[0]),
            {"job": job, "what": in_words(paths)},
            verdict=Verdict.MISSING,
            holds=holds,
            lacks=paths,
        )
