"""The questions of a job as data.

In: questions. Out: plain data. Its shape is a promise to scripts; see docs/answer.md.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from dossier.questions.question import Question

FORMAT = 1


def questions_data(
    number: str, digests: Mapping[str, str], asked: Sequence[Question]
) -> dict[str, Any]:
    """Return the questions as the data that `answer --json` prints. digests: of the files."""
    return {
        "format": FORMAT,
        "job": number,
        "digests": dict(digests),
        "questions": [_question(one) for one in asked],
    }


def _question(one: Question) -> dict[str, Any]:
    return {
        "asks": one.name,
        "file": one.file,
        "path": one.path,
        "fields": list(one.fields),
        "slopes": list(one.slopes),
        "meaning": one.meaning,
        "kind": one.kind,
        "choices": list(one.choices),
        "parts": [asdict(part) for part in one.parts],
        "leads": list(one.leads),
        "several": one.several,
        "takes_more": one.takes_more,
        "may_not_apply": one.may_not_apply,
        "says_now": one.says_now,
        "unit": one.unit,
        "example": one.example,
        "known_by": one.known_by.value,
        "due": one.due.isoformat() if one.due else None,
        "weight": one.weight.value,
        "holds": [held.value for held in one.holds],
        "life_safety": one.life_safety,
        "sends": one.sends.value,
        "settles": [
            {
                "rules": list(item.rules),
                "says": str(item.says),
                "why": str(item.why),
                "source": item.source,
                "remedy": str(item.remedy),
            }
            for item in one.items
        ],
    }
