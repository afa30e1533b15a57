"""Words in the names of photos that turned out to mean something, to be kept if somebody agrees.

In: what was proposed, what was chosen, the words known already. Out: `WordNews`. Must not keep anything. A word
that says what a name says anyway, that stood at one photo only, or that says phase and slope alike, is no news.
"""

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from dossier.gather.placing import is_of_programs, split_name, tokens
from dossier.gather.proposal import Do, Known, Proposal, Proposed
from dossier.said import Count, Said, say
from dossier.words import Phase

LEAST_PHOTOS = 2
"""Photos at which a word has to stand. Common practice, no published source."""

MOST_TOKENS = 3

_OF_NOTHING = frozenset(
    {
        "dcim",
        "camera",
        "pictures",
        "photos",
        "images",
        "download",
        "downloads",
        "phone",
        "mail",
        "export",
        "album",
    }
    | {
        "new",
        "folder",
        "untitled",
        "misc",
        "crew",
        "job",
        "house",
        "roof",
        "day",
        "today",
        "morning",
        "afternoon",
    }
    | {"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}
)
"""Words of folders that say nothing of what a picture shows, though all in them may show one thing."""


@dataclass(frozen=True)
class WordNews:
    """A word to be kept, or to be forgotten. phase, slope: what it stands for, one of them; none to forget it.

    photos: at how many it stood. was: what the office has kept for it, None for nothing.
    """

    word: str
    phase: Phase | None
    slope: str | None
    photos: int
    was: str | None = None

    @property
    def says(self) -> Said:
        """Return it as a question's first half."""
        means = self.phase or self.slope
        at = Count(self.photos, "photo")
        if means is None:
            return say(
                "“{word}” is kept as {was}, and {at} with it went elsewhere: forget it?",
                word=self.word,
                was=self.was or "",
                at=at,
            )
        if self.was is not None:
            return say(
                "“{word}” is kept as {was}, and {at} with it went to {means}: change it?",
                word=self.word,
                was=self.was,
                at=at,
                means=means,
            )
        return say(
            "“{word}” stood at {at} of {means}: keep it as a word for {means}?",
            word=self.word,
            at=at,
            means=means,
        )


def news_of_words(before: Proposal, after: Proposal, known: Known) -> tuple[WordNews, ...]:
    """Return the words to be kept or forgotten, by word. after: as somebody chose, of the same files as before."""
    first = {one.name: one for one in before.files}
    at_word: dict[str, list[Proposed]] = defaultdict(list)
    placed = [one for one in after.files if one.do is Do.PHOTO and one.phase is not None]
    for one in placed:
        for word in _words_in(one):
            at_word[word].append(one)
    kept = {" ".join(tokens(word)): word for word in (*known.phase_words, *known.slope_words)}
    found = []
    for word, photos in sorted(at_word.items()):
        changed = any(_went_elsewhere(first.get(one.name), one) for one in photos)
        own = kept.get(word)
        if own is not None:
            news = _contradicted(own, photos, known)
        elif changed and len(photos) >= LEAST_PHOTOS and len(photos) < len(placed):
            news = _news(word, photos, known)
        else:
            news = None
        if news is not None:
            found.append(news)
    return tuple(found)


def _words_in(one: Proposed) -> set[str]:
    """Return what a person may have meant by a name: each folder, and the file unless a camera named it."""
    stem, folders = split_name(one.name)
    # The outermost folder is the source itself: every photo of it lies there.
    parts = [*folders[:-1], *([] if re.search(r"\d{4}", stem) else [stem])]
    found = set()
    for part in parts:
        words = [word for word in tokens(part) if not word.isdigit()]
        own = [word for word in words if not (is_of_programs(word) or word in _OF_NOTHING)]
        if own == words and 0 < len(words) <= MOST_TOKENS and any(len(word) > 1 for word in words):
            found.add(" ".join(words))
    return found


def _went_elsewhere(before: Proposed | None, after: Proposed) -> bool:
    return before is None or (before.phase, before.slope) != (after.phase, after.slope)


def _news(word: str, photos: Sequence[Proposed], known: Known) -> WordNews | None:
    phases, slopes = {one.phase for one in photos}, {one.slope for one in photos}
    # What every name says anyway, by this word or by another in it, is no news.
    says_phase = len(phases) == 1 and any(one.named[0] is not one.phase for one in photos)
    says_slope = len(slopes) == 1 and any(one.named[1] != one.slope for one in photos)
    # One phase on one slope: nobody can tell which of the two the word means.
    if len(phases) == 1 and len(slopes) == 1 and slopes != {None}:
        return None
    if says_phase and known.slopes.whole(word) is None:
        return WordNews(word, photos[0].phase, None, len(photos))
    if says_slope and known.phases.whole(word) is None:
        return WordNews(word, None, photos[0].slope, len(photos))
    return None


def _contradicted(own: str, photos: Sequence[Proposed], known: Known) -> WordNews | None:
    """Return what becomes of a kept word of which photos went elsewhere, None where none did."""
    phase, slope = known.phase_words.get(own), known.slope_words.get(own)
    if phase is not None:
        others = [one for one in photos if one.phase is not phase]
        to = {one.phase for one in photos}
        new = next(iter(to)) if len(to) == 1 and len(photos) >= LEAST_PHOTOS else None
        return WordNews(own, new, None, len(others), phase.value) if others else None
    others = [one for one in photos if one.slope != slope]
    return WordNews(own, None, None, len(others), slope) if others else None
