"""What kind of paper each is by its own title, where neither its name nor the record says one.

In: what is at hand. Out: `Found`. Must not write.
"""

from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.found import Found
from dossier.gather.ticket_rows import Stand
from dossier.gather.titles import title_of
from dossier.hand.means import Change
from dossier.said import say
from dossier.words import PaperKind


def found_kinds(at: AtHand) -> tuple[Found, ...]:
    """Return the kinds that can be said, in the order of the papers."""
    listed = {paper.file: number for number, paper in enumerate(at.job.papers)}
    new = len(at.job.papers)
    found = []
    for paper in at.papers:
        read = _kind(paper)
        if read is None or paper.listed:
            continue
        # The place it gets says its kind.
        if paper.source is not None and (paper.ticket or not at.unsorted(paper)):
            continue
        kind, stand = read
        if paper.file in listed:
            changes = (Change(("papers", str(listed[paper.file]), "kind"), kind.value),)
        else:
            changes = (Change(("papers", str(new)), {"file": paper.file, "kind": kind.value}),)
            new += 1
        what = say("kind of paper: {kind}", kind=kind)
        found.append(Found(paper.file, stand.page, stand.line, stand.words, what, changes))
    return tuple(found)


def _kind(paper: ReadPaper) -> tuple[PaperKind, Stand] | None:
    """Return what a paper is, and where that stands; None where that cannot be said."""
    if paper.ticket and paper.ticket.rows:
        # Read by its supplier's sheet, it is one without a title that says so.
        return PaperKind.TICKET, paper.ticket.rows[0].stands[0]
    title = title_of(paper.text)
    if title is None:
        return None
    return title.kind, Stand(title.line.page, title.line.line, title.line.text)
