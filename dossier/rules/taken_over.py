"""What a new record comes with and nobody has looked at: values of another job, and the blank's own words.

What was taken over is said once for all of it, never line by line.
"""

from collections.abc import Iterator

from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.record.groups import groups_in
from dossier.rules.declare import Example, Fault, rule
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


_WORDS = frozenset({"NAME", "COLOUR", "MARK", "PRODUCT", "UNITS", "INSPECTOR", "NUMBER"})
"""Words in capitals that commented lines of a new record hold, where a person writes over them."""


@rule(
    id="IDN-025",
    says="{field} still says “{word}”, as the blank record does.",
    why="A word that only shows where something is to be written names nobody and nothing, and would be printed "
    "as though it did.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Write what it is, or delete the line.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.HANDOVER, Holds.REGISTRATION},
    rests_on={"job": "A blank is no word of the blank record."},
    examples=[
        Example(
            {
                "job.work.0": "2026-09-14, tear-off + deck + deck repair + ice barrier, checked by NAME"
            },
            finds="work.0.checked_by still says “NAME”, as the blank record does.",
        ),
        Example({"job.job.old_covering": "MARKED shingles"}, finds=None),
    ],
)
def blank_record_not_written_over(case: Case) -> Iterator[Fault]:
    for path, group in groups_in(case.job):
        # Its values as they are held, since nothing is made of a field by looking for words of the blank in it.
        for name, value in vars(group).items():
            if isinstance(value, str) and value in _WORDS:
                field = f"{path}.{name}".lstrip(".")
                yield Fault(case.where(field), {"field": field, "word": value})
