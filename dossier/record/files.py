"""Photos and papers as somebody listed them, or as their place in the folder says.

In: `photos.yaml`, the papers list, and the names of files. Out: frozen models. Must not open a file.
A photo without an entry takes its phase and slope from `photos/PHASE/SLOPE-name.jpg`; a paper its kind
from `papers/KIND-name.pdf`.
"""

import re
from collections.abc import Iterable, Sequence

from dossier.reading.kinds import Day, FileInJob, Line, PaperKindWord, PhaseWord
from dossier.reading.model import ALL, Model, told
from dossier.record.signed import Signed
from dossier.words import Edition, PaperKind, Phase

_MONEY_PAPERS = frozenset(
    {
        PaperKind.CONTRACT,
        PaperKind.CHANGE_ORDER,
        PaperKind.INVOICE,
        PaperKind.WAIVER,
        PaperKind.INSURER_SCOPE,
        PaperKind.TICKET,
        PaperKind.RETURN_CREDIT,
        PaperKind.DECK_APPROVAL,
    }
)
_MAKER_PAPERS = frozenset(
    {
        PaperKind.PERMIT,
        PaperKind.INSPECTION_CARD,
        PaperKind.TICKET,
        PaperKind.COMPLETION,
        PaperKind.COLOUR_CHOICE,
        PaperKind.CERTIFICATE,
        PaperKind.REGISTRATION_CONFIRMATION,
        PaperKind.INSTRUCTIONS,
        PaperKind.VENT_CHECK,
        PaperKind.WRAPPER,
    }
)
_RESALE_PAPERS = frozenset(
    {PaperKind.INSPECTION_CARD, PaperKind.CERTIFICATE, PaperKind.INSTRUCTIONS}
)
_OFFICE_PAPERS = frozenset(
    {PaperKind.INSURANCE_CERTIFICATE, PaperKind.CREW_AGREEMENT, PaperKind.DISPOSAL_TICKET}
)


class Photo(Model):
    """One photo."""

    file: FileInJob = told(
        "The file.", example="photos/field/front-nails.jpg", readers=ALL, default=...
    )
    phase: PhaseWord | None = told("The phase it shows.", example="field", readers=ALL)
    slope: Line | None = told("The slope it shows.", example="front", readers=ALL)
    caption: Line | None = told(
        "What it shows, in a few words.", example="Six nails in each shingle", readers=ALL
    )
    reviewed: Signed | None = told("Who noted that this photo shows it, and when.", readers=ALL)
    received_from: Line | None = told(
        "Who sent it, where the camera's data is lost.",
        example="crew phone 2",
        readers=frozenset({Edition.OFFICE, Edition.INSURER}),
    )
    received_on: Day | None = told("When it came.", example="2026-09-15", unit="date", readers=ALL)


class PhotoList(Model):
    """`photos.yaml`: what somebody noted about single photos."""

    photos: tuple[Photo, ...] = told("The photos.", readers=ALL, default=())


class Paper(Model):
    """One paper."""

    file: FileInJob = told("The file.", example="papers/permit.pdf", readers=ALL, default=...)
    kind: PaperKindWord | None = told("What it is.", example="permit", readers=ALL)
    on: Day | None = told("Its day.", example="2026-09-02", unit="date", readers=ALL)
    backs: Line | None = told("What it backs.", example="final inspection", readers=ALL)
    reviewed: Signed | None = told("Who read it, and when.", readers=ALL)

    def is_for(self, edition: Edition) -> bool:
        """Return whether this edition may carry the paper itself; unknown kinds stay at the office."""
        if edition is Edition.OFFICE:
            return True
        if self.kind is None or self.kind in _OFFICE_PAPERS:
            return False
        if edition is Edition.INSURER:
            return True
        if edition is Edition.MAKER:
            return self.kind in _MAKER_PAPERS
        if edition is Edition.RESALE:
            return self.kind in _RESALE_PAPERS
        return self.kind not in _MONEY_PAPERS


_GATHERED = re.compile(r".*?(?:\d{8}-\d{6}|undated)-[0-9a-f]{8,}")


def placed_photo(file: str, slope_labels: Sequence[str]) -> Photo:
    """Return the photo that a file's place names; phase or slope None where the place says nothing.

    slope_labels: those of the job; the longest that begins the file's name is taken.
    """
    parts = file.split("/")
    phase = next((p for p in Phase if len(parts) == 3 and parts[1].lower() == p.slug), None)
    stem = parts[-1].rpartition(".")[0].lower()
    starts = {start: label for label in slope_labels for start in (name_part(label), label.lower())}
    start = longest_start(stem, starts) if phase else None
    slope = starts[start] if start else None
    # A name that gather made tells slope, moment and content, not what is seen; the slope may be renamed by now.
    rest = _GATHERED.sub("", stem[len(start or "") :], count=1).strip("- _")
    caption = rest.replace("-", " ").replace("_", " ") if phase and rest else None
    return Photo(file=file, phase=phase, slope=slope, caption=caption)


def name_part(text: str) -> str:
    """Return a text as it stands in a file's name: “garage S” is garage-s."""
    letters = (char if char.isalnum() else "-" for char in text.lower())
    return "-".join(part for part in "".join(letters).split("-") if part)


def longest_start(stem: str, labels: Iterable[str]) -> str | None:
    """Return the longest label that the stem begins with, ending at a dash or at its end."""
    fitting = [
        label
        for label in labels
        if stem == label.lower() or stem.startswith((f"{label.lower()}-", f"{label.lower()}_"))
    ]
    return max(fitting, key=len, default=None)


def placed_paper(file: str) -> Paper:
    """Return the paper that a file's name says: `papers/change-order-1.pdf` is a change order."""
    stem = file.rpartition("/")[2].rpartition(".")[0].lower()
    slug = longest_start(stem, [kind.slug for kind in PaperKind])
    kind = next((kind for kind in PaperKind if kind.slug == slug), None)
    return Paper(file=file, kind=kind)
