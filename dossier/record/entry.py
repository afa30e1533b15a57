"""What happened to a roof after its folder was sealed: one dated entry, and all those of a job.

In: `entry.yaml` files by way of `reading`. Out: `Entry`, frozen. Must not know how an entry is sealed, nor
change `job.yaml`: what was sealed stays as it was, and what came later stands beside it. A later entry
may add to an earlier one, such as a claim's, by giving the same number.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

from dossier.punchlist import Item
from dossier.reading import shape
from dossier.reading.kinds import (
    Count,
    Day,
    EntryKindWord,
    Feet,
    FileInJob,
    Line,
    OwnerKindWord,
    PaperKindWord,
    PhaseWord,
    YesNo,
)
from dossier.reading.model import ALL, OFFICE_ONLY, PERSONAL, Lines, Model, Read, read_model, told
from dossier.reading.nodes import Reading, read_tree
from dossier.record.migrations import ENTRY_MIGRATIONS, migrated
from dossier.record.places import ENTRY_FILE, SEALED
from dossier.words import Edition, EntryKind, OwnerKind

ENTRY_VERSION = 1
"""The newest form of an entry that this program reads and writes."""

_MAKER = frozenset({Edition.OFFICE, Edition.MAKER})
_REGISTERED = frozenset({Edition.OFFICE, Edition.MAKER, Edition.HOMEOWNER, Edition.RESALE})
__all__ = ["ENTRY_FILE", "SEALED", "Entry", "entries_of", "read_entry"]

_FOLDER = re.compile(r"(?P<number>[0-9]{4})-(?P<rest>.+)", re.S)
_HOUSE = frozenset({Edition.OFFICE, Edition.HOMEOWNER})


class Correction(Model):
    """That a field of the sealed record was wrong, and what is right.

    `was` and `right` are shown to whoever may see the field itself; see `record/corrections.py`.
    """

    field: Line = told(
        "The field, by its path in job.yaml or photos.yaml; entries of a list are counted from 0.",
        example="deliveries.0.lines.0.lots.1.mark",
        readers=ALL,
        default=...,
    )
    was: Line | None = told(
        "What stood there; blank where nothing did.", example="0012346", readers=OFFICE_ONLY
    )
    right: Line | None = told(
        "What is right, as it would be typed; blank where nothing should stand there.",
        example="0012354",
        readers=OFFICE_ONLY,
    )
    why: Line | None = told(
        "How it came to be wrong, and what shows that it was; every correction says it.",
        example="two digits changed places when the wrapper was copied",
        readers=_HOUSE,
    )
    found_by: Line | None = told(
        "Who found it; every correction says it.", example="Ida Torvik", readers=_HOUSE
    )
    paper: FileInJob | None = told(
        "The paper or photo that shows it: one that is sealed already, or one beside entry.yaml.",
        example="papers/ticket-55120.pdf",
        readers=OFFICE_ONLY,
    )


class LatePaper(Model):
    """A paper that came after close-out. In the record it is papers/ and its own name."""

    file: FileInJob = told(
        "The paper, beside entry.yaml.", example="files/letter.pdf", readers=ALL, default=...
    )
    kind: PaperKindWord | None = told("What it is.", example="ticket", readers=ALL)
    on: Day | None = told("Its day.", example="2026-09-02", unit="date", readers=ALL)
    backs: Line | None = told("What it backs.", example="final inspection", readers=_HOUSE)


class LatePhoto(Model):
    """A photo that came after close-out. In the record it is photos/, its phase, and its own name."""

    file: FileInJob = told(
        "The photo, beside entry.yaml.", example="files/nails.jpg", readers=ALL, default=...
    )
    phase: PhaseWord = told("The phase it shows.", example="field", readers=ALL, default=...)
    slope: Line | None = told("The slope it shows.", example="front", readers=ALL)
    caption: Line | None = told(
        "What it shows, in a few words.", example="Six nails in each shingle", readers=ALL
    )
    received_from: Line | None = told(
        "Who sent it.", example="crew phone 2", readers=frozenset({Edition.OFFICE, Edition.INSURER})
    )


class Registration(Model):
    """That a maker confirmed a registration."""

    sheet: Line | None = told(
        "The terms sheet, by the name of its file.", example="kestrelmoor-2026", readers=ALL
    )
    level: Line | None = told("The level confirmed.", example="Extended", readers=ALL)
    confirmed_on: Day | None = told(
        "The day of the confirmation.", example="2026-10-15", unit="date", readers=_REGISTERED
    )
    by: Line | None = told("Who confirmed it.", example="registrations desk", readers=_REGISTERED)
    confirmation: Line | None = told(
        "The maker's confirmation number.", example="TH-88213", readers=ALL
    )
    certificate_file: FileInJob | None = told(
        "The certificate, beside entry.yaml.", example="files/certificate.pdf", readers=ALL
    )


class Buyer(Model):
    """Who bought the house."""

    name: Line | None = told("The buyer's name.", example="Tore Lindahl", readers=_MAKER)
    kind: OwnerKindWord = told(
        "What kind of owner; the maker's terms choose by it.",
        example="living there",
        readers=ALL,
        default=OwnerKind.LIVING_THERE,
    )
    phone: Line | None = told("Telephone.", example="555-0177", readers=_MAKER)
    email: Line | None = told("E-mail.", example="buyer@example.com", readers=_MAKER)
    mailing_address: Line | None = told(
        "Where post reaches the buyer, if not at the site.",
        example="PO Box 40, Halvorsted",
        readers=_MAKER,
    )


class Sale(Model):
    """That the house was sold, or passed on in another way."""

    closing_on: Day | None = told(
        "The day of the closing.", example="2031-06-20", unit="date", readers=ALL
    )
    corrects: Day | None = told(
        "The closing day of an earlier entry that was wrong: this entry takes its place, and what it does "
        "not say again is kept.",
        example="2031-06-02",
        unit="date",
        readers=ALL,
    )
    seller: Line | None = told("Who sold it.", example="Marit Ekdahl", readers=PERSONAL)
    buyer: Buyer | None = told("Who bought it.", readers=ALL)
    in_family: YesNo | None = told(
        "Whether it passed to a spouse, an heir or the owner's own trust.",
        example="no",
        readers=ALL,
    )
    notice_sent_on: Day | None = told(
        "When the maker was sent the notice.", example="2031-07-02", unit="date", readers=ALL
    )
    notice_received_on: Day | None = told(
        "When the maker had it.", example="2031-07-07", unit="date", readers=ALL
    )
    notice_accepted_on: Day | None = told(
        "When the maker confirmed the transfer.", example="2031-07-15", unit="date", readers=ALL
    )
    fee_paid_on: Day | None = told(
        "When the transfer fee was paid.", example="2031-07-02", unit="date", readers=_REGISTERED
    )
    papers: tuple[FileInJob, ...] = told(
        "Papers of the sale, beside entry.yaml.", readers=_MAKER, default=()
    )


class Claim(Model):
    """That somebody called about a leak or another fault, and what the office has done about it.

    The four confirmations are what the office has to do before the homeowner is given an answer.
    """

    number: Line | None = told("The office's number of the claim.", example="C-1", readers=PERSONAL)
    slope: Line | None = told("The slope, by its label.", example="front", readers=PERSONAL)
    from_eave_ft: Feet | None = told(
        "Distance up the slope from the eave.", example="6 ft", unit="ft", readers=PERSONAL
    )
    from_rake_ft: Feet | None = told(
        "Distance from the left rake, seen from the ground.",
        example="12 ft",
        unit="ft",
        readers=PERSONAL,
    )
    room_below: Line | None = told("The room below.", example="bedroom", readers=PERSONAL)
    seen: Line | None = told(
        "What was seen.", example="a brown ring on the ceiling, two feet wide", readers=PERSONAL
    )
    seen_on: Day | None = told(
        "When it was first seen.", example="2040-03-02", unit="date", readers=PERSONAL
    )
    called_by: Line | None = told("Who called.", example="Tore Lindahl", readers=PERSONAL)
    phone: Line | None = told("Telephone.", example="555-0177", readers=PERSONAL)
    photos: tuple[FileInJob, ...] = told(
        "Pictures that came with the call, beside entry.yaml.", readers=PERSONAL, default=()
    )
    maker_told_on: Day | None = told(
        "When notice of the claim was given as the maker's terms ask (sent, received or accepted); where "
        "several makers need it, when the last of them had it.",
        example="2040-03-09",
        unit="date",
        readers=PERSONAL,
    )
    own_insurer_told_on: Day | None = told(
        "When the company's own liability insurer was told.",
        example="2040-03-03",
        unit="date",
        readers=OFFICE_ONLY,
    )
    subcrew_insurer_told_on: Day | None = told(
        "When the sub-crew's insurer was told; n/a with the reason where there was no sub-crew.",
        example="2040-03-03",
        unit="date",
        readers=OFFICE_ONLY,
    )
    notice_and_repair_checked_on: Day | None = told(
        "When the state's notice-and-repair period was looked up.",
        example="2040-03-03",
        unit="date",
        readers=OFFICE_ONLY,
    )
    owner_told_on: Day | None = told(
        "When the owner was told to protect the house, keep samples, and wait for the maker before "
        "permanent repair.",
        example="2040-03-02",
        unit="date",
        readers=OFFICE_ONLY,
    )


class LaterWork(Model):
    """Work on the roof after close-out, by this company or by others."""

    by: Line | None = told("Who did it.", example="the owner's plumber", readers=PERSONAL)
    slope: Line | None = told("The slope, by its label.", example="back", readers=ALL)
    from_eave_ft: Feet | None = told(
        "Distance up the slope from the eave.", example="6 ft", unit="ft", readers=ALL
    )
    from_rake_ft: Feet | None = told(
        "Distance from the left rake, seen from the ground.",
        example="12 ft",
        unit="ft",
        readers=ALL,
    )
    what: Line | None = told(
        "What was done.", example="a pipe boot replaced, four shingles laid new", readers=ALL
    )
    claim: Line | None = told(
        "The office's number of the claim it answers.", example="C-1", readers=PERSONAL
    )
    photos: tuple[FileInJob, ...] = told(
        "Pictures of it, beside entry.yaml.", readers=PERSONAL, default=()
    )


class MakersVisit(Model):
    """That the maker had the roof looked at, and what it decided."""

    sheet: Line | None = told(
        "The terms sheet, by the name of its file.", example="kestrelmoor-2026", readers=PERSONAL
    )
    by: Line | None = told("Who looked.", example="R. Lindmark", readers=PERSONAL)
    found: Line | None = told(
        "What was found.", example="blisters on the front slope", readers=PERSONAL
    )
    decision: Line | None = told(
        "What the maker decided.", example="material paid at 62 %", readers=PERSONAL
    )
    decided_on: Day | None = told(
        "When it decided.", example="2040-04-11", unit="date", readers=PERSONAL
    )
    claim: Line | None = told("The office's number of the claim.", example="C-1", readers=PERSONAL)
    papers: tuple[FileInJob, ...] = told(
        "Its papers, beside entry.yaml.", readers=PERSONAL, default=()
    )


class Entry(Model):
    """`entry.yaml`: one thing that happened after close-out."""

    entry: Count = told("Version of this form.", example="1", readers=ALL, default=...)
    job: Line = told(
        "The office's number of the job.", example="2026-041", readers=ALL, default=...
    )
    kind: EntryKindWord = told("What happened.", example="claim", readers=ALL, default=...)
    on: Day = told(
        "The day it happened.", example="2040-03-02", unit="date", readers=ALL, default=...
    )
    noted_by: Line = told("Who noted it.", example="Ida Torvik", readers=ALL, default=...)
    noted_on: Day = told(
        "When it was noted.", example="2040-03-02", unit="date", readers=ALL, default=...
    )
    text: Line | None = told(
        "A note for the office.", example="called back twice", readers=OFFICE_ONLY
    )
    correction: Correction | None = told("Where a field of the record was wrong.", readers=ALL)
    papers: tuple[LatePaper, ...] = told(
        "Where papers came late; several may share one entry.", readers=ALL, default=()
    )
    photos: tuple[LatePhoto, ...] = told(
        "Where photos came late; several may share one entry.", readers=ALL, default=()
    )
    registration: Registration | None = told("Where a registration was confirmed.", readers=ALL)
    sale: Sale | None = told("Where the house was sold.", readers=ALL)
    claim: Claim | None = told("Where somebody called about a fault.", readers=PERSONAL)
    work: LaterWork | None = told("Where the roof was worked on.", readers=ALL)
    inspection: MakersVisit | None = told("Where the maker looked.", readers=PERSONAL)
    files: tuple[FileInJob, ...] = told(
        "Other files that belong to it, beside entry.yaml.", readers=OFFICE_ONLY, default=()
    )


def days_in(model: Model) -> Iterator[tuple[str, date]]:
    """Yield every day that an entry tells something happened on, with the name of its field.

    The day that a sale corrects is left out: it is a mistake of an earlier entry, and nothing happened on it.
    """
    for name in type(model).model_fields:
        value = getattr(model, name)
        if isinstance(value, Model):
            yield from days_in(value)
        elif isinstance(value, date) and name != "corrects":
            yield name, value


GROUP_OF = {
    EntryKind.CORRECTION: "correction",
    EntryKind.LATE_PAPER: "papers",
    EntryKind.LATE_PHOTO: "photos",
    EntryKind.REGISTRATION_CONFIRMED: "registration",
    EntryKind.SOLD: "sale",
    EntryKind.CLAIM: "claim",
    EntryKind.WORK_BY_OTHERS: "work",
    EntryKind.REPAIR: "work",
    EntryKind.MAKERS_INSPECTION: "inspection",
    EntryKind.NOTE: "text",
}
"""The one field that an entry of each kind fills in; the others stay blank."""


FILES = "files/"
"""Where the files of an entry lie, beside its entry.yaml."""


def files_of(entry: Entry) -> tuple[str, ...]:
    """Return every file beside it that an entry names, each once."""
    named = list(entry.files)
    named += [paper.file for paper in entry.papers] + [photo.file for photo in entry.photos]
    named += entry.claim.photos if entry.claim else ()
    named += entry.sale.papers if entry.sale else ()
    named += entry.work.photos if entry.work else ()
    named += entry.inspection.papers if entry.inspection else ()
    if entry.registration and entry.registration.certificate_file:
        named.append(entry.registration.certificate_file)
    if entry.correction and entry.correction.paper and entry.correction.paper.startswith(FILES):
        named.append(entry.correction.paper)
    return tuple(dict.fromkeys(named))


def read_entry(path: Path, shown_as: str | None = None) -> Read[Entry]:
    """Return one entry, or the items that say why it cannot be read.

    shown_as: the name printed in sentences; the file's own name where None.
    """
    return entry_in(read_tree(path, shown_as or path.name))


def entry_in(reading: Reading) -> Read[Entry]:
    """Return the entry that the tree of a file holds, or the items that say why it holds none."""
    file = reading.file
    if reading.tree is None:
        return Read(None, reading.items, Lines(file))
    tree, too_new = migrated(reading.tree, file, "entry", ENTRY_VERSION, ENTRY_MIGRATIONS)
    if too_new is not None:
        return Read(None, (too_new,), Lines(file))
    read = _with_reasons(read_model(tree, file, Entry))
    if read.model is None:
        return read
    misfits = tuple(_misfits(read.model, read.lines))
    return Read(None, misfits, read.lines) if misfits else read


def _with_reasons(read: Read[Entry]) -> Read[Entry]:
    """Return the entry with “n/a, REASON” as what stood in a field or is right there.

    Elsewhere such a text says that the entry's own field does not apply; here it is what the record says.
    """
    entry, reasons = read.model, read.lines.not_applicable
    if entry is None or entry.correction is None:
        return read
    told = {
        name: f"n/a, {reasons[path]}"
        for name in ("was", "right")
        if (path := f"correction.{name}") in reasons
    }
    fixed = entry.model_copy(update={"correction": entry.correction.model_copy(update=told)})
    # The reasons stay where they are: that is how such a text is written back.
    return replace(read, model=fixed)


def _misfits(entry: Entry, lines: Lines) -> Iterator[Item]:
    """Yield an item where the group of the entry's kind is not there, and for every other group."""
    own = GROUP_OF[entry.kind]
    if getattr(entry, own) in (None, ()):
        where = lines.where(own)
        says = f"{lines.file} line {where.line}: an entry of kind “{entry.kind}” needs “{own}”."
        yield shape.FIELD_MISSING.at(where, says)
    for name in ("why", "found_by") if entry.correction else ():
        if getattr(entry.correction, name) is None:
            where = lines.where(f"correction.{name}")
            says = f"{lines.file} line {where.line}: a correction needs “{name}”."
            yield shape.FIELD_MISSING.at(where, says)
    for group in sorted(set(GROUP_OF.values()) - {own, "text"}):
        if getattr(entry, group) not in (None, ()):
            where = lines.where(group)
            says = (
                f"{lines.file} line {where.line}: an entry of kind “{entry.kind}” has no “{group}”."
            )
            remedy = "Write one entry for each thing that happened."
            yield shape.UNREADABLE_VALUE.at(where, says, remedy)


def entries_of(job_folder: Path) -> tuple[tuple[Path, Read[Entry]], ...]:
    """Return the entries of a job after its closing, each with its folder, in the order of their numbers.

    The first sealed folder is the closing itself and holds no entry. Links are not followed, and an entry
    that is not there or cannot be read is a `Read` without a model. None where nothing is sealed.
    """
    sealed = job_folder / SEALED
    try:
        folders = sorted(sealed.iterdir())
    except OSError:
        return ()
    found: list[tuple[Path, Read[Entry]]] = []
    for folder in folders:
        match = _FOLDER.fullmatch(folder.name)
        if match is None or match["number"] == "0001" or folder.is_symlink() or not folder.is_dir():
            continue
        shown_as = f"{SEALED}/{folder.name}/{ENTRY_FILE}"
        found.append((folder, read_entry(folder / ENTRY_FILE, shown_as)))
    return tuple(found)
