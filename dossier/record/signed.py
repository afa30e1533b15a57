"""Short one-line forms that several parts of the record share: who, on which day.

In: one line of text. Out: small models. Must not know which field they stand in.
"""

import re
from typing import Any, ClassVar

from dossier.reading.kinds import Day, Line
from dossier.reading.model import ALL, Model, short_parts, told
from dossier.values import clip

_ISO = r"\d{4}-\d{2}-\d{2}"


class Signed(Model):
    """Who saw, did or signed something, and on which day."""

    short_form: ClassVar[str] = "Ida Torvik, 2026-09-16"

    by: Line | None = told("The person's name.", example="Ida Torvik", readers=ALL)
    on: Day | None = told("The day.", example="2026-09-16", unit="date", readers=ALL)
    note: Line | None = told("What was seen or said.", example="read on the tape", readers=ALL)

    @property
    def is_whole(self) -> bool:
        """Return whether both a person and a day are named."""
        return bool(self.by) and self.on is not None

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return who and when from `NAME, DATE` or from either alone."""
        parts = short_parts(text)
        days = [part for part in parts if re.fullmatch(_ISO, part)]
        names = [part for part in parts if part not in days]
        if len(days) > 1 or len(names) > 1 or not parts:
            raise ValueError(f"found “{clip(text)}”, needed a name and a day: {cls.short_form}")
        fields: dict[str, Any] = {}
        if names:
            fields["by"] = names[0]
        if days:
            fields["on"] = days[0]
        return fields
