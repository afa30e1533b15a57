"""An office's own words, kept or forgotten as somebody agreed.

In: an office folder and the news of words. Out: its `words.yaml` as it would be, and then on disk.
"""

from collections.abc import Sequence
from pathlib import Path

from dossier.deeds.by_hand import change, drafted, shown
from dossier.disk.outputs import Holder
from dossier.gather.learning import WordNews
from dossier.gather.placing import tokens
from dossier.hand.file import Draft
from dossier.hand.means import Change
from dossier.reading.typed import Value
from dossier.terms.own_words import WORDS_FILE, read_own_words


def words_drafted(office: Path, news: Sequence[WordNews]) -> Draft:
    """Return the office's words as they would be with these news, to be shown."""
    return drafted(office, WORDS_FILE, shown(office, WORDS_FILE).digest, _changes(office, news))


def keep_words(
    office: Path, news: Sequence[WordNews], digest: str, holder: Holder | None = None
) -> Draft:
    """Write the office's words with these news. digest: of the file as it was shown; raises as `change` does."""
    return change(office, WORDS_FILE, digest, _changes(office, news), holder)


def _changes(office: Path, news: Sequence[WordNews]) -> list[Change]:
    words = read_own_words(office).words
    places = {tokens(one.word): place for place, one in enumerate(words)}
    # From the end upward, so that the numbers of the entries above stay right; new ones follow them all.
    gone = sorted(
        (places[tokens(one.word)] for one in news if tokens(one.word) in places), reverse=True
    )
    changes = [Change(("words", str(place)), None) for place in gone]
    new: list[Value] = [line for one in news if (line := _line(one))]
    if new:
        changes.append(Change(("words", str(len(words) - len(gone))), new[0], tuple(new[1:])))
    return changes


def _line(one: WordNews) -> dict[str, Value] | None:
    if one.phase is not None:
        return {"word": one.word, "phase": one.phase.value}
    return {"word": one.word, "slope": one.slope} if one.slope is not None else None
