"""Why facts of a paper may be wrong whatever it says: another house, a stamp, unseen words, other papers.

In: what is at hand, facts. Out: the same facts with their doubts. Must not find a fact.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.found import Found
from dossier.gather.labels import beside
from dossier.gather.ticket_rows import key_of
from dossier.said import Said, say
from dossier.values import clip

_SITE = (
    "Site address", "Site", "Job site", "Job address", "Project address", "Property address", "Property",
    "Delivered to", "Deliver to", "Ship to", "Location",
)  # fmt: skip
"""Labels of the house a paper is about. Common practice, no published source."""

_STAMPS = re.compile(
    r"\b(?:void|cancel\w*|draft|estimate|quot\w+|specimen|sample|not valid)\b", re.I
)
"""Words across a page by which it does not count. Common practice, no published source."""


def doubted(at: AtHand, facts: Sequence[Found]) -> tuple[Found, ...]:
    """Return the facts, those of a paper that may not count in doubt, and those that papers tell differently."""
    doubts = {paper.file: _doubt(at, paper) for paper in at.papers}
    told: dict[tuple[tuple[str, ...], str], list[Found]] = {}
    for one in facts:
        for change in one.changes:
            if not any(part.isdigit() for part in change.path):
                told.setdefault((change.path, ""), []).append(one)
    made = []
    for one in facts:
        doubt = one.doubt or doubts.get(one.file)
        if doubt is None:
            doubt = _otherwise(
                one, [other for found in told.values() if one in found for other in found]
            )
        made.append(one if one.known else replace(one, doubt=doubt))
    return tuple(made)


def _doubt(at: AtHand, paper: ReadPaper) -> Said | None:
    if stamp := _STAMPS.search(paper.text.across):
        return say("“{word}” is stamped across the paper", word=stamp[0])
    if paper.text.unseen:
        return say(
            "its words lie unseen behind a picture, as a scanner's program took them; look at the picture"
        )
    return _other_house(at, paper)


def _other_house(at: AtHand, paper: ReadPaper) -> Said | None:
    """Return that a paper names the site of another house; None where it names ours anywhere, or none."""
    ours = _street(at.job.job.address)
    if any(ours in _street(line.text) for line in paper.text.lines):
        return None
    for label in _SITE:
        for values, _ in beside(paper.text.lines, label, within=False):
            for value in values:
                if re.match(r"\d+\s+\w", value) and len(value.split()) > 1:
                    return say(
                        "it names “{site}”, and this job is at {ours}",
                        site=clip(value),
                        ours=at.job.job.address,
                    )
    return None


def _street(text: str) -> str:
    """Return number and street of an address as they are compared, the words of a line as well."""
    return " ".join(re.findall(r"\w+", key_of(text.partition(",")[0])))


def _otherwise(one: Found, others: Sequence[Found]) -> Said | None:
    """Return that another paper says another value of the same place."""
    for other in others:
        if other.file != one.file and other.changes != one.changes:
            return say("{file} says otherwise: {what}", file=other.file, what=other.what)
    return None
