"""What a maker's letter says of a registration in sentences, over the ends of lines.

In: lines of a paper. Out: days, and where it calls itself the certificate, each with its line and its doubt. Must
not know the record. A sentence with a word that may take it back is in doubt. The wording is ordinary English of
the trade: common practice, no published source.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import pairwise

from dossier.evidence.text import TextLine
from dossier.gather.labels import Beside, day_doubt, month_first, written_day
from dossier.said import Said, say

_IT = r"(?:your|the|this)\s+(?:(?:warranty|roof)\s+)?registration"
RECEIVED = re.compile(
    rf"\breceived\s+{_IT}\s+on\s+|\b{_IT}\s+(?:was|has\s+been)\s+received\s+on\s+", re.I
)
ACCEPTED = re.compile(
    rf"\b(?:accepted|approved|confirmed)\s+(?:it|{_IT})\s+(?:on|as\s+of)\s+"
    rf"|\b{_IT}\s+(?:was|is|has\s+been)\s+(?:accepted|approved|confirmed)\s+(?:on|as\s+of)\s+"
    r"|\byour\s+roof\s+(?:was|is|has\s+been)\s+registered\s+(?:on|as\s+of)\s+",
    re.I,
)
_CERTIFICATE = re.compile(
    r"\bthis\s+(?:letter|page|paper|confirmation|notice|document)\s+(?:serves\s+as|stands\s+as|counts\s+as|is)"
    r"\s+(?:the|your|a)\s+(?:warranty\s+)?certificate\b(?!\s+(?:of|for|that)\b)",
    re.I,
)
_TAKEN_BACK = re.compile(
    r"\b(?:not?|never|cannot|can't|unable|unless|until|if|when|once|only|but|except\w*|subject|pending|condition\w*"
    r"|provided|withdrawn|revoked|cancel\w*|void|will|shall|must|would|(?-i:may)|earlier|previous\w*|former\w*|other|another"
    r"|denied|rejected|declined|incomplete|replac\w*|again|draft|sample)\b",
    re.I,
)
"""Words of a sentence by which it may not hold as it stands."""


def days_told(
    lines: Sequence[TextLine], begins: re.Pattern[str], today: date
) -> list[Beside[date]]:
    """Return the days behind these words, each once, with why one may be misread. today: none lies after it."""
    order = month_first(lines)
    found: dict[date, Beside[date]] = {}
    for match, sentence, at in _matches(lines, begins):
        written = written_day(sentence[match.end() :])
        if written is not None:
            doubt = day_doubt(written, order, today) or _taken_back(sentence)
            found.setdefault(written.day, Beside(written.day, at, doubt))
    return list(found.values())


def certificate_told(lines: Sequence[TextLine], file: str) -> list[Beside[str]]:
    """Return the paper itself, where it says that it is the certificate."""
    return [
        Beside(file, at, _taken_back(sentence)) for _, sentence, at in _matches(lines, _CERTIFICATE)
    ][:1]


def _matches(
    lines: Sequence[TextLine], words: re.Pattern[str]
) -> Iterator[tuple[re.Match[str], str, TextLine]]:
    """Yield each place of these words in a sentence, with it and the line on which they end."""
    text, starts = "", []
    for line in lines:
        starts.append(len(text))
        text += f"{line.text} "
    ends = [0, *(found.end() for found in re.finditer(r"[.!?]\s+(?=[A-Z])", text)), len(text)]
    for start, end in pairwise(ends):
        sentence = text[start:end]
        for match in words.finditer(sentence):
            number = max(n for n, at in enumerate(starts) if at <= start + match.end())
            yield match, sentence, lines[number]


def _taken_back(sentence: str) -> Said | None:
    found = _TAKEN_BACK.search(sentence)
    return say("its sentence says “{word}”", word=found[0]) if found else None
