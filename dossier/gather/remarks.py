"""What has to be said of a paper beside its facts: that it is a scan, or is not ours.

In: what is at hand. Out: the same with remarks. Must not find a fact.
"""

from collections.abc import Iterator
from dataclasses import replace

from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.found_closing import found_on_closing_papers, which_warranty
from dossier.gather.found_money import found_on_money_papers, is_ours
from dossier.said import Runs, Said, say
from dossier.words import PaperKind

_REGISTERED = (PaperKind.REGISTRATION_CONFIRMATION, PaperKind.CERTIFICATE)
_LOOKED_FOR = {
    PaperKind.INVOICE: say("number, day or amount"),
    PaperKind.WAIVER: say("kind, giver or day"),
    PaperKind.COMPLETION: say("day on which the owner signed"),
    PaperKind.PERMIT: say("number or day"),
    PaperKind.INSPECTION_CARD: say("number or inspection"),
    PaperKind.REGISTRATION_CONFIRMATION: say("number or day"),
}
"""What is read of each kind; a certificate is always on file."""


def remarked(at: AtHand) -> AtHand:
    """Return what is at hand with what has to be said of each paper."""
    told = {one.file for one in (*found_on_closing_papers(at), *found_on_money_papers(at))}
    papers = []
    for paper in at.papers:
        remarks = (*paper.remarks, *_remarks(at, paper))
        looked_for = _LOOKED_FOR.get(paper.kind) if paper.kind else None
        if looked_for and not remarks and paper.text.lines and paper.file not in told:
            remarks = (say("no {what} was found on it by its label", what=looked_for),)
        papers.append(replace(paper, remarks=remarks))
    return replace(at, papers=tuple(papers))


def _remarks(at: AtHand, paper: ReadPaper) -> Iterator[Said]:
    text = paper.text
    # A table has no printed lines, and is no scan.
    if text.fault is not None or paper.file.lower().endswith(".csv"):
        return
    if text.is_scan:
        yield say(
            "it is a scan or a picture, whose words are not read; nothing is proposed from it"
        )
        return
    if text.scans:
        yield say("page {pages} is a scan, whose words are not read", pages=Runs(text.scans))
    if text.cut:
        yield say("it has more pages than are read")
    if paper.kind is PaperKind.INVOICE and not is_ours(at, paper):
        yield say(
            "our name is not at its head, so it is nobody's invoice to the owner; nothing is proposed from it"
        )
    if paper.kind in _REGISTERED and which_warranty(at, paper) is None:
        yield say(
            "it cannot be told which warranty of the record it is about; nothing is proposed from it"
        )
