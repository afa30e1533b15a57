"""Every technical word of a handover is explained, once, and no word is explained that it does not use.

TRADE is a list made by hand from the trade: common practice, no published source; most of its words are
defined in ASTM D1079, terminology relating to roofing (from memory).
"""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.aloud import read_aloud
from tests.conftest import DEMO_JOBS

TRADE = (
    *("apron", "ASTM", "attic", "backing", "baffle", "bond", "boot", "box vent", "bundle"),
    *(
        "claims desk",
        "closing",
        "combustion vent",
        "counter-flashing",
        "course",
        "coverage",
        "cricket",
    ),
    *(
        "D3161",
        "D7158",
        "deck",
        "deck panel",
        "deed",
        "dormer",
        "drip edge",
        "eave",
        "exhaust vent",
    ),
    *(
        "exposure D",
        "fascia",
        "fastener",
        "field",
        "fingerprint",
        "flashing",
        "flue",
        "gable",
        "hip",
    ),
    *(
        "hip and ridge",
        "ice barrier",
        "intake vent",
        "IRC",
        "joist",
        "kick-out",
        "lap",
        "level",
        "lien",
    ),
    *("lot", "low-slope", "membrane", "net free area", "OSB", "penetration", "pipe boot", "pitch"),
    *(
        "plywood",
        "prorated",
        "PS 2",
        "rafter",
        "rake",
        "rating",
        "registration",
        "ridge",
        "ridge vent",
    ),
    *(
        "sealant",
        "sheathing",
        "slope",
        "soffit",
        "span rating",
        "square",
        "starter",
        "step flashing",
    ),
    *("tear-off", "terms", "underlayment", "valley", "vapour retarder", "warrantor", "wind class"),
    "workmanship",
)
SAME = {"boot": "pipe boot", "combustion vent": "flue", "exposure D": "exposure"} | dict.fromkeys(
    ("D3161", "D7158"), "D7158, D3161"
)
"""Words that stand in the list under another one."""

HANDOVERS = [(job, name) for job in DEMO_JOBS for name in ("handover", "handover-resale")]
every_handover = pytest.mark.parametrize(("job", "name"), HANDOVERS)


def words_and_text(document: Path) -> tuple[list[str], str, str]:
    """Return the glossary's words, the text in front of it, and the glossary's own lines."""
    root = read_aloud(document.read_bytes())
    text = re.sub(r"\s+", " ", root.text())
    before, _, after = text.rpartition("Words used ")
    lines = [one.text() for one in root.elements() if one.kind == "P" and one.text() in after]
    return [line.partition(":")[0].strip() for line in lines], before, after


def uses(text: str, word: str) -> bool:
    return bool(re.search(rf"(?<![\w-]){re.escape(word)}s?(?![\w-])", text, re.IGNORECASE))


@every_handover
def test_every_technical_word_is_explained_in_the_list(
    job: str, name: str, built: Callable[[str], Path]
) -> None:
    words, text, _ = words_and_text(built(job) / f"{name}.pdf")
    assert len(words) > 20
    listed = {word.lower() for word in words}
    used = {word for word in TRADE if uses(text, word)}
    assert {word for word in used if SAME.get(word, word).lower() not in listed} == set()


@every_handover
def test_the_list_holds_nothing_else_and_each_word_once(
    job: str, name: str, built: Callable[[str], Path]
) -> None:
    words, text, after = words_and_text(built(job) / f"{name}.pdf")
    assert words == sorted(set(words), key=str.lower)
    for word in words:
        stands = any(uses(text, one) for one in (*word.split(", "), *_others(word)))
        in_the_list = len(re.findall(rf"(?<![\w-]){re.escape(word)}s?(?![\w-])", after)) > 1
        assert stands or in_the_list, word


def _others(word: str) -> list[str]:
    return [one for one, under in SAME.items() if under == word]


def test_a_word_that_is_not_used_is_not_explained(built: Callable[[str], Path]) -> None:
    """Only the job in the city stands in the open by its record, and only it has a box vent."""
    words = {job: words_and_text(built(job) / "handover.pdf")[0] for job in DEMO_JOBS}
    assert [job for job in DEMO_JOBS if "box vent" in words[job]] == ["2026-047-cinder-street"]
    assert not [job for job in DEMO_JOBS if "cricket" in words[job]]
