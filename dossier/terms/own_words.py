"""An office's own words for phases and slopes, as crews write them into the names of folders and files.

In: nodes by way of `reading`. Out: `OwnWords`. Must not know any photo.
"""

from pathlib import Path
from typing import Any, ClassVar

from pydantic import model_validator

from dossier.reading.kinds import Line, PhaseWord
from dossier.reading.model import Model, needed, short_parts, told
from dossier.reading.nodes import read_tree
from dossier.values import clip

WORDS_FILE = "words.yaml"


class OwnWord(Model):
    """One word, and the phase or slope it stands for."""

    short_form: ClassVar[str] = "tin, phase drip edge"

    word: Line = told(
        "The word, in any spelling of capitals and dashes.", example="tin", default=...
    )
    phase: PhaseWord | None = told("The phase it stands for.", example="drip edge")
    slope: Line | None = told(
        "The label of the slope it stands for, in jobs that have such a slope.", example="front"
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `WORD, phase PHASE` or `WORD, slope LABEL`."""
        word, *rest = short_parts(text)
        fields: dict[str, Any] = {"word": word}
        for part in rest:
            name, _, value = part.partition(" ")
            if name not in ("phase", "slope") or name in fields or not value:
                raise ValueError(f"found “{clip(part)}”, needed a line such as {cls.short_form}")
            fields[name] = value
        return fields

    @model_validator(mode="after")
    def _stands_for_one(self) -> "OwnWord":
        if (self.phase is None) == (self.slope is None):
            raise ValueError(f"“{clip(self.word)}” needs a phase or a slope, and one of them")
        return self


class OwnWords(Model):
    """`words.yaml`: an office's own words in the names of photos and folders."""

    words: tuple[OwnWord, ...] = told("The words.", default=())


def read_own_words(office: Path) -> OwnWords:
    """Return the office's words, none where it has no such file.

    Raises UnreadableInput with its first fault.
    """
    path = office / WORDS_FILE
    return needed(read_tree(path, WORDS_FILE), OwnWords) if path.exists() else OwnWords()
