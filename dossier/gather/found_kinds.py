"""What kind of paper each is by its own title, where neither its name nor the record says one.

In: what is at hand. Out: `Found`. Must not write.
"""

from dossier.gather.at_hand import AtHand
from dossier.gather.found import Found
from dossier.gather.settling import fact
from dossier.gather.titles import title_of
from dossier.hand.means import Change
from dossier.said import say


def found_kinds(at: AtHand) -> tuple[Found, ...]:
    """Return the kinds that can be said, in the order of the papers."""
    listed = {paper.file: number for number, paper in enumerate(at.job.papers)}
    new = len(at.job.papers)
    found = []
    for paper in at.papers:
        title = title_of(paper.text)
        if title is None or paper.listed or paper.source is not None:
            continue
        what = say("kind of paper: {kind}", kind=title.kind)
        if paper.file in listed:
            changes = (Change(("papers", str(listed[paper.file]), "kind"), title.kind.value),)
        else:
            entry = {"file": paper.file, "kind": title.kind.value}
            changes = (Change(("papers", str(new)), entry),)
            new += 1
        found.append(fact(paper, title.line, what, changes))
    return tuple(found)
