"""One page before each paper of the print packet, saying what follows.

In: papers and what was measured of them. Out: one `Divider` a paper, all in one document. Must not judge a paper.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.assess.backing import paper_backing
from dossier.case.case import Case
from dossier.compose.parts.shared import Head, PictureWanted, capital, day, head_of, said, signed
from dossier.evidence.facts import Facts
from dossier.record.files import Paper
from dossier.values import Run, clip, plural

SHORT_DIGEST = 12
"""Letters of a SHA-256 that are printed: enough to tell two papers of one job apart."""

_LONGEST_NAME = 160


@dataclass(frozen=True)
class Divider:
    """One divider page. number: its place in the packet, as text. pages: how many follow."""

    number: str
    kind: str
    file: str
    dated: str
    backs: str
    reviewed: str
    pages: str
    digest: str
    backing: str


@dataclass(frozen=True)
class Dividers:
    """The divider pages of one packet, a page each."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    pages: tuple[Divider, ...]


def dividers(papers: Sequence[Paper], case: Case, facts: Facts, run: Run) -> Dividers:
    """Return one page for each paper, in the given order. papers: those the case's reader may see."""
    return Dividers(
        template="divider.html",
        title="Papers of this packet",
        head=head_of(case, "papers", run),
        pictures=(),
        pages=tuple(_divider(paper, number, facts) for number, paper in enumerate(papers, start=1)),
    )


def pages_of(paper: Paper, facts: Facts) -> str:
    """Return how many pages a paper has, in words."""
    fact = facts.papers.get(paper.file)
    if fact is not None and fact.kind == "text" and fact.fault is None:
        return "a table"
    if fact is None or fact.page_count is None:
        return "pages not counted"
    return plural(fact.page_count, "page")


def digest_of(paper: Paper, facts: Facts) -> str:
    """Return the first letters of a paper's SHA-256, or words where it was not read."""
    fact = facts.papers.get(paper.file)
    return fact.sha256[:SHORT_DIGEST] if fact and fact.sha256 else "not read"


def kind_of(paper: Paper) -> str:
    """Return what a paper is, in words."""
    return capital(paper.kind.value) if paper.kind else "Kind not on record"


def _divider(paper: Paper, number: int, facts: Facts) -> Divider:
    # Clipped, because a divider must stay one page whatever the file is called.
    return Divider(
        number=str(number),
        kind=kind_of(paper),
        file=clip(paper.file, _LONGEST_NAME),
        dated=day(paper.on),
        backs=clip(said(paper.backs), _LONGEST_NAME),
        reviewed=clip(signed(paper.reviewed), _LONGEST_NAME),
        pages=pages_of(paper, facts),
        digest=digest_of(paper, facts),
        backing=paper_backing(paper, facts).value,
    )
