"""Listings of photos and papers: each file said once."""

from collections.abc import Iterator

from dossier.case.case import Case
from dossier.punchlist import Manner, Party, Sends
from dossier.rules.declare import Example, Fault, rule


@rule(
    id="PHO-030",
    says="{file} is listed again; {first} lists it too, and the last listing holds.",
    why="A file that is listed as two things backs neither.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Keep the listing that is right and delete the other.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
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
def listed_twice(case: Case) -> Iterator[Fault]:
    for file, first, again in case.listed_again:
        yield Fault(again, {"file": file, "first": str(first)})
