"""Photos that would lie in the job without a slope although their names may well say one.

In: a `Proposal`, the job, the photos it already has. Out: words for the office. Must not file, write or
print anything. A slope is found in a name by the label that the record gives it: before the slopes are
typed no photo gets one, and the word in its name is taken for a caption.
"""

from collections.abc import Sequence

from dossier.gather.placing import slope_by_name, split_name, tokens
from dossier.gather.proposal import Do, Known, Proposal
from dossier.values import clip, listed, plural

_SIDES = frozenset(
    {"front", "back", "rear", "left", "right", "north", "south", "east", "west", "main", "garage"}
    | {"porch", "dormer", "lower", "upper"}
)
"""Words by which crews call the planes of a roof. Common practice, no published source."""

MOST_TOLD = 4


def could_be_slopes(proposal: Proposal, known: Known) -> tuple[str, ...]:
    """Return the words in the heap's photo names that could be slopes, sorted.

    Empty where the record has slopes: then their labels are looked for, and whatever else stands in
    a name is a caption.
    """
    if known.job.slopes:
        return ()
    words: set[str] = set()
    for one in proposal.files:
        if one.do is not Do.PHOTO:
            continue
        if one.caption:
            words.add(one.caption.casefold())
        stem, folders = split_name(one.name)
        words.update(_SIDES.intersection(tokens(" ".join((stem, *folders)))))
    return tuple(sorted(words))


def slopes_first(words: Sequence[str]) -> str:
    """Return what the office is told where names could be slopes that the record does not have."""
    told = listed([f"“{clip(word, 24)}”" for word in words[:MOST_TOLD]])
    more = f" and {len(words) - MOST_TOLD} more" if len(words) > MOST_TOLD else ""
    return (
        f"The record has no slopes yet, and names in this heap could be slopes: {told}{more}. "
        "Write the slopes into job.yaml first, or no photo gets one."
    )


def filed_without(proposal: Proposal, known: Known) -> tuple[tuple[str, str], ...]:
    """Return the job's photos without a slope whose bytes come again under a name that says one.

    Each with that slope, in the order of the files.
    """
    slopes = known.slopes
    without = {photo.file for photo in known.photos if photo.slope is None}
    in_job = {
        fact.sha256: file
        for file, fact in sorted(known.facts.photos.items())
        if fact.sha256 is not None and file in without
    }
    found: dict[str, str] = {}
    for one in proposal.files:
        file, guess = in_job.get(one.seen.sha256), slope_by_name(one.name, slopes)
        if file is not None and guess is not None:
            found.setdefault(file, guess.value)
    return tuple(sorted(found.items()))


def way_back(found: Sequence[tuple[str, str]], job: str) -> str:
    """Return how photos that were filed without a slope come by it. job: as on the command line."""
    lines = [f"Filed before without a slope that the name says: {plural(len(found), 'photo')}."]
    lines += [f"  {file}  slope: {slope}" for file, slope in found]
    lines.append(f"If the last gather filed them: dossier gather {job} --undo, then gather again.")
    lines.append("Else write the slope at each in photos.yaml.")
    return "\n".join(lines)
