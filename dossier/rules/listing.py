"""Listings of photos and papers: each file said once."""

from collections.abc import Iterator

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Party
from dossier.rules.declare import Example, Fault, rule
from dossier.values import Run


@rule(
    id="PHO-030",
    says="{file} is listed again; {first} lists it too, and the last listing holds.",
    why="A file that is listed as two things backs neither.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Keep the listing that is right and delete the other.",
    examples=[
        Example(
            {
                "photos.0": {"file": "photos/field/back.jpg", "caption": "one"},
                "photos.1": {"file": "photos/field/back.jpg", "phase": "deck"},
            },
            finds="photos/field/back.jpg is listed again; photos.yaml:1 lists it too, and the last listing "
            "holds.",
        ),
        Example(
            {
                "photos.0": {"file": "photos/field/back.jpg", "caption": "one"},
                "photos.1": {"file": "photos/field/front.jpg", "caption": "two"},
            },
            finds=None,
        ),
    ],
    rests_on={
        "photos.*.file": "A listing is of a file; without one it cannot be read.",
    },
)
def listed_twice(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    for file, first, again in case.listed_again:
        yield Fault(again, {"file": file, "first": str(first)})
