"""What a gathered file is called in the job, and its entry in the photo list.

In: one file of a proposal. Out: a path, and the fields of an entry. Must not touch the disk.
"""

from datetime import date

from dossier.gather.placing import KINDS, moment_by_name, split_name
from dossier.gather.proposal import Do, Proposed
from dossier.reading.typed import Value
from dossier.record.files import name_part
from dossier.words import Phase

UNSORTED = "unsorted"

_ENDINGS = {"jpeg": "jpg", "png": "png", "heic": "heic", "tiff": "tif", "webp": "webp"}


def name_in_job(one: Proposed, digest_letters: int = 8) -> str:
    """Return the path a file gets in the job: readable, and named by its content.

    A photo: photos/PHASE/SLOPE-YYYYMMDD-HHMMSS-DIGEST.jpg, for a deck repair with “before” or “after”
    behind it, since repairs find their two photos by that word; a paper: papers/KIND-WORDS-DIGEST.pdf, where
    the words are those of its own name, such as a ticket's number. The ending follows the content.
    """
    digest = one.seen.sha256[:digest_letters]
    kind = str(one.seen.fact.kind)
    if one.do is Do.PAPER:
        stem, _ = split_name(one.name)
        start = one.kind.slug if one.kind else f"{UNSORTED}/paper"
        parts = [start, _words(KINDS.rest(stem)), digest]
        return f"papers/{'-'.join(part for part in parts if part)}.{_ENDINGS.get(kind, 'pdf')}"
    taken = one.seen.fact.taken_at_local
    when = "undated" if taken is None else taken.strftime("%Y%m%d-%H%M%S")
    moment = moment_by_name(one.name) if one.phase is Phase.DECK_REPAIR else ""
    parts = [name_part(one.slope) if one.slope else "", when, digest, moment]
    folder = one.phase.slug if one.phase else UNSORTED
    return f"photos/{folder}/{'-'.join(part for part in parts if part)}.{_ENDINGS[kind]}"


def _words(text: str) -> str:
    """Return a text as part of a file name; a ticket's number stays as it was written."""
    kept = "".join(char if char.isalnum() or char in "._-" else "-" for char in text)
    return "-".join(part for part in kept.split("-") if part.strip("._"))[:60].strip("-._")


def entry_of(one: Proposed, file: str, today: date, received_from: str | None) -> dict[str, Value]:
    """Return the photo's entry as it is typed; without fields for a paper or an unplaced photo."""
    if one.do is not Do.PHOTO or one.phase is None:
        return {}
    entry: dict[str, Value] = {"file": file, "phase": one.phase.value}
    if one.slope:
        entry["slope"] = one.slope
    if one.caption:
        entry["caption"] = one.caption
    if one.seen.fact.taken_at_local is None:
        if received_from:
            entry["received_from"] = received_from
        entry["received_on"] = today.isoformat()
    return entry


def place_of(one: Proposed) -> str:
    """Return where one file would go, in words: ice barrier, front; or the kind of paper."""
    if one.do is Do.PAPER:
        return one.kind.value if one.kind else "unknown paper"
    parts = [one.phase.value if one.phase else "unknown phase", one.slope or ""]
    return ", ".join(part for part in parts if part)
