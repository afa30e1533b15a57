"""Whether what was sealed still is what it was, by itself, by a key, and by what somebody kept elsewhere.

In: a sealed folder, and what to hold against it. Out: what was found, then what differs in sentences. Must load
what only a key or a document needs where one is given: the rest is over in a moment.
"""

from dataclasses import dataclass
from pathlib import Path

from dossier.archive.names import CLOSEOUT
from dossier.archive.noted import Compared, compare_noted, digest_typed
from dossier.archive.verify import TAKEN_FROM_THE_END, Verified, verify
from dossier.errors import DossierError, UnreadableInput
from dossier.terms.place import find_office

_ELSEWHERE = (
    "What was kept elsewhere shows it, and a rewrite of the whole, as far as it reaches: the newest folder’s "
    "digest (--digest HEX), the homeowner’s handover (--against FILE.pdf)."
)
_BESIDE = (
    "What lies in the job folder beside sealed/ was not looked at; what is sealed is what counts."
)

KEYS = "keys"
"""The folder in an office folder that holds its key; looked for first, since most offices have none."""


@dataclass(frozen=True)
class Seals:
    """What lies sealed. by_key: whether signatures were checked. office_key: by which key of the office itself.

    digest: as it was kept elsewhere, as the manifests write it.
    """

    found: Verified
    by_key: bool
    office_key: Path | None
    digest: str | None


def seals_of(folder: Path, key_file: Path | None = None, digest: str | None = None) -> Seals:
    """Return what lies sealed in a folder, every byte of it read.

    key_file: a public key. digest: of the newest folder, as it was printed when that was sealed; None where
    nobody kept one.
    """
    key = None
    wanted = None if digest is None else digest_typed(digest)
    if key_file is not None:
        from dossier.archive.keys import public_key

        key = public_key(key_file)
    own = None
    office = find_office(folder) if key is None and folder.is_dir() else None
    if office is not None and (office / KEYS).is_dir():
        from dossier.archive.keys import office_public_key

        own = office_public_key(office)
    # Of what was sealed before the office made its key nothing is demanded.
    found = verify(folder, key or (own[1] if own else None), closing_signed=own is None)
    return Seals(found, bool(key or own), own[0] if own else None, wanted)


def compared(seals: Seals, against: Path | None) -> Compared:
    """Return what differs, what is the same, and what cannot be told. against: a document to compare."""
    found = seals.found
    same: list[str] = []
    differences, notes = list(found.differences), list(found.notes)
    if seals.office_key is not None:
        notes.insert(0, _by_office_key(seals.office_key, any(bag.signed for bag in found.bags)))
    if against is not None:
        held = _against_or_why_not(found, against)
        same += held.same
        differences += held.differences
        notes += held.notes
    if seals.digest is not None:
        noted = compare_noted(found, seals.digest)
        same += noted.same
        differences += noted.differences
        # What comparing says of the end is nearer than the general sentence.
        notes = [line for line in notes if line != TAKEN_FROM_THE_END] + list(noted.notes)
    elif TAKEN_FROM_THE_END in notes:
        at = notes.index(TAKEN_FROM_THE_END)
        notes[at] += f" {_ELSEWHERE}"
    if TAKEN_FROM_THE_END in found.notes:
        notes.append(_BESIDE)
    return Compared(tuple(same), tuple(differences), tuple(notes))


def _by_office_key(public: Path, signed: bool) -> str:
    """Return how far a key reaches that lies where the jobs lie."""
    if not signed:
        return (
            f"The office has a key ({public}), and nothing here is signed: it was sealed before there was a key, "
            "or it was written anew since."
        )
    return (
        f"Signatures were checked with {public}. Whoever can write there can put another key there: a public key "
        "that was kept elsewhere shows it (--key)."
    )


def _against_or_why_not(found: Verified, document: Path) -> Compared:
    try:
        return _against(found, document)
    except DossierError as problem:
        if not found.differences:
            raise
        # A document that is of no use must not keep what was found from being said.
        return Compared((), (), (f"{document.name} was not compared: {problem}",))


def _against(found: Verified, document: Path) -> Compared:
    from dossier.deeds.against import SealedFile, compare, compare_digests, hold_against
    from dossier.press.carried import RECORD

    name = document.name
    whole = [bag for bag in found.bags if not bag.differences]
    changed = [bag.name for bag in found.bags if bag.differences]
    # What such a folder holds now is not what was sealed; to compare with that would say nothing.
    why = [f"{name} was not compared with {one}, which is not as it was sealed." for one in changed]
    if not whole:
        if not document.is_file():
            raise UnreadableInput(f"{document} is not there.", "Name the PDF.")
        return Compared((), (), tuple(why))
    sealed = [
        SealedFile(f"{bag.name}/{file}", bag.folder / file, digest)
        for bag in whole
        for file, digest in bag.payload.items()
    ]
    held = hold_against(document, sealed)
    if held.like is None and changed:
        # It may have been sealed in a folder that cannot be asked.
        return Compared((), (), (*why, *held.whole.differences))
    parts = [held.whole]
    closing = next((bag for bag in whole if bag.folder.name == CLOSEOUT), None)
    if held.printed is not None or RECORD in held.carried:
        if closing is not None:
            parts.append(compare(held, name, closing.folder, closing.payload))
    else:
        unchanged = {bag.digest: bag.name for bag in whole}
        # A folder looked at by itself has no newest beside it.
        alone = TAKEN_FROM_THE_END not in found.notes
        newest = None if alone else found.bags[-1].digest
        printed = compare_digests(name, held.digests, unchanged, newest)
        if alone and held.like is None and printed.same:
            # It was sealed in the folder after this one, which was not looked at.
            parts = []
        parts.append(printed)
    return Compared(
        tuple(says for part in parts for says in part.same),
        tuple(says for part in parts for says in part.differences),
        (*(says for part in parts for says in part.notes), *why),
    )
