"""Files that a record names: there, and filed as what the record names them for.

In: a case and what was measured. Out: faults. Must not know what is in a file.
"""

from collections.abc import Iterator
from types import MappingProxyType

from dossier.case.case import Case
from dossier.case.spots import spot
from dossier.evidence.facts import Facts
from dossier.punchlist import Manner, Party, Sends, SettledBy, Verdict, Weight
from dossier.record.files import placed_paper
from dossier.rules.declare import Example, Fault, rule
from dossier.said import say
from dossier.words import Edition, PaperKind

_CERTIFICATES = frozenset({PaperKind.CERTIFICATE, PaperKind.REGISTRATION_CONFIRMATION})
_TICKETS = frozenset({PaperKind.TICKET, PaperKind.INVOICE})
"""Some suppliers send the invoice with the goods and no ticket of its own."""


@rule(
    id="PHO-040",
    says="{field} names {file}, which {found}.",
    why="Whoever looks for the paper in ten years goes by the name that stands on record.",
    source="The files of the job folder",
    owed_by=Party.OFFICE,
    remedy="Put the file in under that name, or correct the name; blank is enough where the paper's own name says "
    "what it is.",
    settled_by=SettledBy.PAPER,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "job.deliveries.*.file": "Found by the ticket's number where nobody typed it.",
        "job.papers.*.kind": "A paper that is filed as nothing contradicts no name; PHO-008 names it.",
        "job.warranties.*.certificate_file": "REG-013 asks for it.",
    },
    examples=[
        Example(
            {"job.warranties.0.certificate_file": "papers/certificate.pdf"},
            finds="warranties.0.certificate_file names papers/certificate.pdf, which is not "
            "among the photos and papers of the job.",
        ),
        Example(
            {"job.warranties.0.certificate_file": "papers/permit-R-2026-1187.pdf"},
            finds="warranties.0.certificate_file names papers/permit-R-2026-1187.pdf, which "
            "is filed as permit.",
        ),
        Example(
            {"job.deliveries.0.file": "photos/field/back.jpg"},
            finds="deliveries.0.file (ticket 55120) names photos/field/back.jpg, which is filed as a photo of the "
            "roof.",
        ),
        Example({"job.deliveries.0.file": "papers/ticket-55120.pdf"}, finds=None),
    ],
)
def named_file_is_another(case: Case, facts: Facts) -> Iterator[Fault]:
    named = [
        (f"warranties.{number}.certificate_file", warranty.certificate_file, _CERTIFICATES)
        for number, warranty in enumerate(case.job.warranties)
    ]
    named += [
        (f"deliveries.{number}.file", delivery.file, _TICKETS)
        for number, delivery in enumerate(case.job.deliveries)
    ]
    kinds = {paper.file: paper.kind for paper in case.papers}
    phases = {photo.file: photo.phase for photo in case.photos}
    for field, file, fitting in named:
        if file is None:
            continue
        kind = kinds.get(file)
        fact = facts.papers.get(file) or facts.photos.get(file)
        found = None
        if fact is None or not fact.exists:
            found = say("is not among the photos and papers of the job")
        elif kind is not None and kind not in fitting:
            found = say("is filed as {kind}", kind=kind)
        elif kind is None and phases.get(file) is not None:
            found = say("is filed as a photo of the roof")
        if found is not None:
            yield Fault(
                case.where(field),
                {"field": spot(case.job, field), "file": file, "found": found},
                verdict=Verdict.WRONG if fact and fact.exists else Verdict.MISSING,
            )


@rule(
    id="PHO-041",
    says="{file} is listed as a paper, and it is a photo of {phase}.",
    why="A picture of the roof that goes out as a permit or an invoice makes the rest doubtful.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the file that papers names; a paper that was photographed belongs into papers/.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.papers.*.file": "A paper is its file; without one there is no paper.",
        "photos.*.phase": "A photo without a phase may be one of a paper; PHO-008 names it.",
    },
    examples=[
        Example(
            {"job.papers": [{"file": "photos/field/back.jpg", "kind": "permit"}]},
            finds="photos/field/back.jpg is listed as a paper, and it is a photo of field.",
        ),
        Example(
            {"job.papers": [{"file": "papers/ticket-55120.pdf", "kind": "ticket"}]}, finds=None
        ),
    ],
)
def photo_among_the_papers(case: Case) -> Iterator[Fault]:
    phases = {photo.file: photo.phase for photo in case.photos}
    for paper in case.papers:
        phase = phases.get(paper.file)
        if phase is not None:
            yield Fault(case.paper_where(paper.file), {"file": paper.file, "phase": phase})


@rule(
    id="PHO-042",
    says="{file} is listed as {kind} and goes to {reader} as one; by its name it is {named}, which does not.",
    why="A listing holds against a file's name, and money papers of one party are no business of another.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the file or the kind under papers; where the listing is right, let the file's name say so.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "job.papers.*.file": "A paper is its file; without one there is no paper.",
        "job.papers.*.kind": "A paper without a kind stays at the office.",
    },
    examples=[
        Example(
            {"job.papers": [{"file": "papers/waiver-crew.pdf", "kind": "permit"}]},
            finds="papers/waiver-crew.pdf is listed as permit and goes to the homeowner as one; by its name it is "
            "waiver, which does not.",
        ),
        # What stays where its name would leave it is anybody's word.
        Example(
            {"job.papers": [{"file": "papers/waiver-crew.pdf", "kind": "change order"}]}, finds=None
        ),
        Example(
            {"job.papers": [{"file": "papers/inspection-card.pdf", "kind": "permit"}]}, finds=None
        ),
    ],
)
def money_paper_goes_out(case: Case) -> Iterator[Fault]:
    for paper in case.papers:
        named = placed_paper(paper.file)
        if paper.kind is None or named.kind is None:
            continue
        out = [
            reader
            for edition, reader in _READERS.items()
            if paper.is_for(edition) and not named.is_for(edition)
        ]
        if out:
            yield Fault(
                case.paper_where(paper.file),
                {
                    "file": paper.file,
                    "kind": paper.kind,
                    "reader": out[0],
                    "named": named.kind,
                },
            )


_READERS = MappingProxyType(
    {
        Edition.HOMEOWNER: "the homeowner",
        Edition.MAKER: "the maker",
        Edition.RESALE: "a buyer",
        Edition.INSURER: "the insurer",
    }
)
"""Who gets papers, the most usual reader first."""
