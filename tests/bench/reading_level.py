"""How hard the homeowner's handover is to read. `python -m tests.bench.reading_level` writes it into docs/.

In: the handover of the first demo job, as it is printed. Out: its Flesch-Kincaid grade, part by part, and its
hardest sentences. Must not judge a table: a row of names and days is no sentence, and only sentences are counted.

Formula: grade = 0.39 × words / sentences + 11.8 × syllables / words - 15.59. Source: Kincaid, Fishburne, Rogers
and Chissom, Derivation of New Readability Formulas, Naval Technical Training Command, research branch report
8-75, 1975. Syllables are counted as runs of vowels.
"""

import html
import re
from collections.abc import Iterator
from pathlib import Path

from dossier.compose.parts.shared import Look
from dossier.render.pages import fill
from tests.compose.made import made

PAGE = Path(__file__).parents[2] / "docs" / "reading-level.md"
MOST_GRADE = 9.0
_LEAST_WORDS = 5


def grade(sentences: list[str]) -> float:
    """Return the Flesch-Kincaid grade of these sentences."""
    words = [word for sentence in sentences for word in words_of(sentence)]
    syllables = sum(syllables_of(word) for word in words)
    return 0.39 * len(words) / len(sentences) + 11.8 * syllables / len(words) - 15.59


def words_of(sentence: str) -> list[str]:
    """Return the words of a sentence; a figure counts as one."""
    return re.findall(r"[^\W_]+(?:[’'.,:/-][^\W_]+)*", sentence)


def syllables_of(word: str) -> int:
    """Return the syllables of a word: runs of vowels, a silent e at its end left out; at least one.

    Common practice, no published source: such counts find a few too many rather than too few.
    """
    word = re.sub(r"(?<=[^aeiouyl])es?$|(?<=[^aeiouydt])ed$", "", word.lower())
    return max(1, len(re.findall(r"[aeiouy]+", word)))


def parts() -> Iterator[tuple[str, list[str]]]:
    """Yield each part's heading and its sentences, in order; a part without one is passed over."""
    look = Look("#1F3A4D", "#8A4B2A", "Letter")
    whole = fill("handover.html", {"doc": made().handover, "look": look})
    body = re.sub(r"<svg.*?</svg>|<style>.*?</style>|<figure.*?</figure>", "", whole, flags=re.S)
    pieces = re.split(r"<h2[^>]*>(.*?)</h2>", body[body.index("<body>") :], flags=re.S)
    titled = [("First page", pieces[0]), *zip(pieces[1::2], pieces[2::2], strict=True)]
    for title, piece in titled:
        found = [
            one
            for block in re.findall(r"<(?:p|li|td)\b[^>]*>(.*?)</(?:p|li|td)>", piece, re.S)
            for one in sentences_in(block)
        ]
        if found:
            yield html.unescape(re.sub(r"<[^>]+>", "", title)), found


def sentences_in(block: str) -> list[str]:
    """Return the sentences of one block of text: what ends with a full stop and has five words."""
    text = html.unescape(re.sub(r"<[^>]+>", " ", block))
    text = " ".join(text.split())
    found = re.findall(r"[^.!?]+(?:\.(?=\S)[^.!?]*)*[.!?](?=\s|$)", text)
    return [one.strip() for one in found if len(words_of(one)) >= _LEAST_WORDS]


def page() -> str:
    """Return the page as it stands in docs/."""
    measured = list(parts())
    everything = [one for _, sentences in measured for one in sentences]
    hardest = sorted(everything, key=lambda one: (-grade([one]), one))[:8]
    rows = [f"| {title} | {len(found)} | {grade(found):.1f} |" for title, found in measured]
    return "\n".join(
        [
            "# How hard the handover is to read",
            "",
            "Printed by `python -m tests.bench.reading_level` from the homeowner's handover of the first demo",
            "job. The Flesch-Kincaid grade is the school year, in the United States, that is meant to follow the",
            "text (Kincaid and others, 1975). Only sentences of five words or more are counted; tables of names",
            "and days are not.",
            "",
            f"Whole document: grade **{grade(everything):.1f}**; the aim is {MOST_GRADE:.0f} or less.",
            "",
            "| part | sentences | grade |",
            "|---|---|---|",
            *rows,
            "",
            "The hardest sentences, hardest first:",
            "",
            *(f"- {grade([one]):.0f}: {one}" for one in hardest),
            "",
        ]
    )


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8")
    print(page())
