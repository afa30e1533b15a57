"""Papers as files: whether they open, do nothing of their own, and are all there."""

from collections.abc import Iterator

from dossier.assess.backing import good_papers
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence import Facts
from dossier.punchlist import Manner, Party, Sends, SettledBy, Verdict, Weight, Where
from dossier.rules.declare import Example, Fault, rule
from dossier.said import Listed
from dossier.words import PaperKind


def _papers_terms_ask(assessment: Assessment) -> frozenset[PaperKind]:
    """Return the kinds of paper that a clause that is not met yet wants on file."""
    return frozenset(
        kind
        for result in assessment.asked
        for leaf in result.level.open_leaves
        for kind in leaf.condition.papers
    )


@rule(
    id="PHO-010",
    says="{file} {fault}",
    why="A paper that does not open cannot be sent, printed or read in ten years.",
    source="The file itself; ISO 32000-1 for PDF",
    owed_by=Party.OFFICE,
    remedy="Ask whoever sent it for a copy without a password, or scan the paper again.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.papers/completion.pdf.fault": "is damaged. Ask for a good copy."},
            finds="papers/completion.pdf is damaged. Ask for a good copy.",
        ),
        Example({"facts.papers/completion.pdf.page_count": 3}, finds=None),
    ],
    rests_on={
        "job.papers.*.file": "A paper is its file; without one there is no paper.",
    },
)
def paper_does_not_open(case: Case, facts: Facts) -> Iterator[Fault]:
    for paper in case.papers:
        fact = facts.papers.get(paper.file)
        if fact is None:
            continue
        if fact.fault is not None:
            yield Fault(
                case.paper_where(paper.file),
                {"file": paper.file, "fault": fact.fault},
                verdict=Verdict.WRONG if fact.exists else Verdict.MISSING,
            )


@rule(
    id="PHO-011",
    says="{file} holds {active}, which a paper to be kept for thirty years must not.",
    why="What runs when a paper is opened can be changed, and a maker's clerk will refuse to open it.",
    source="ISO 19005-3:2012 (PDF/A-3), section 6.6: no actions that run (section from memory)",
    owed_by=Party.OFFICE,
    remedy="Print it to a new PDF and file that one. Meanwhile the packet carries a copy of what "
    "its pages show, where one can be made.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"facts.papers/completion.pdf.active_content": ("JavaScript",)},
            finds="papers/completion.pdf holds JavaScript, which a paper to be kept for thirty years "
            "must not.",
        ),
        Example({"facts.papers/completion.pdf.active_content": ()}, finds=None),
    ],
    rests_on={
        "job.papers.*.file": "A paper is its file; without one there is no paper.",
    },
)
def paper_does_things(case: Case, facts: Facts) -> Iterator[Fault]:
    for paper in case.papers:
        fact = facts.papers.get(paper.file)
        if fact is not None and fact.active_content:
            yield Fault(
                case.paper_where(paper.file),
                {"file": paper.file, "active": Listed(tuple(fact.active_content))},
            )


@rule(
    id="PHO-012",
    says="Not on file in papers/: {kinds}.",
    told="Not on file: {kinds}.",
    why="These are the papers an owner, a buyer or the maker asks for within the first year.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Chase and file them; the file's name begins with the kind of paper.",
    settled_by=SettledBy.PAPER,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.papers/colour-choice.pdf": None},
            finds="Not on file in papers/: colour choice.",
        ),
        Example({"facts.papers/waiver-crew.pdf": None}, finds=None),
    ],
    rests_on={
        "locality.permit_needed": "A sheet that does not say is read as asking for a permit.",
        "job.papers.*.kind": "A paper without a kind is not filed, which has an item of its own.",
    },
)
def usual_papers_missing(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    # What a clause asks for has its own item under registration.
    asked = _papers_terms_ask(assessment)
    usual = [PaperKind.COLOUR_CHOICE, PaperKind.COMPLETION]
    if case.locality.permit_needed:
        usual.append(PaperKind.PERMIT)
    blank = [
        kind.value for kind in usual if kind not in asked and not good_papers(case, facts, kind)
    ]
    if blank:
        yield Fault(Where("papers"), {"kinds": Listed(tuple(blank))}, verdict=Verdict.MISSING)
