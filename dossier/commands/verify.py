"""`dossier verify FOLDER`: whether what was sealed still is what it was."""

from pathlib import Path

from dossier.archive.names import CLOSEOUT, shown
from dossier.archive.noted import compare_noted, digest_typed
from dossier.archive.verify import TAKEN_FROM_THE_END, Verified, verify
from dossier.errors import DossierError, ExitCode, UnreadableInput
from dossier.terms.place import find_office
from dossier.values import plural

_ELSEWHERE = (
    "What was kept elsewhere shows it, and a rewrite of the whole, as far as it reaches: the newest folder’s "
    "digest (--digest HEX), the homeowner’s handover (--against FILE.pdf)."
)
_BESIDE = (
    "What lies in the job folder beside sealed/ was not looked at; what is sealed is what counts."
)

KEYS = "keys"
"""The folder in an office folder that holds its key; looked for first, since most offices have none."""


def run_verify(
    folder: Path, against: Path | None, key_file: Path | None, digest: str | None = None
) -> ExitCode:
    """Print every difference, what cannot be told, and one line at the end; 5 where anything differs.

    digest: of the newest folder, as it was printed when that was sealed; None where nobody kept one.
    """
    key = None
    wanted = None if digest is None else digest_typed(digest)
    if key_file is not None:
        # What only --key and --against need is imported where they are given: the rest is over in a moment.
        from dossier.archive.keys import public_key

        key = public_key(key_file)
    own = None
    office = find_office(folder) if key is None and folder.is_dir() else None
    if office is not None and (office / KEYS).is_dir():
        from dossier.archive.keys import office_public_key

        own = office_public_key(office)
    # Of what was sealed before the office made its key nothing is demanded.
    found = verify(folder, key or (own[1] if own else None), closing_signed=own is None)
    if found.bags and found.bags[0].job:
        print(f"Sealed as job {shown(found.bags[0].job)}")
    for bag in found.bags:
        signed = "signed" if bag.signed else "not signed"
        if (key or own) and bag.signed and not bag.differences:
            signed = "signed with this key"
        count = plural(len(bag.payload), "file")
        state = "as it was sealed" if not bag.differences else "NOT as it was sealed"
        print(f"{bag.name}: {count}, {bag.size_bytes:,} bytes, {signed}, {state}")
        print(f"  digest {bag.digest or 'cannot be told'}")
    differences = list(found.differences)
    notes = list(found.notes)
    if own is not None:
        notes.insert(0, _by_office_key(own[0], any(bag.signed for bag in found.bags)))
    if against is not None:
        same, more, told = _against_or_why_not(found, against)
        for line in same:
            print(f"= {line}")
        differences += more
        notes += told
    if wanted is not None:
        noted = compare_noted(found, wanted)
        for line in noted.same:
            print(f"= {line}")
        differences += noted.differences
        # What comparing says of the end is nearer than the general sentence.
        notes = [line for line in notes if line != TAKEN_FROM_THE_END] + list(noted.notes)
    elif TAKEN_FROM_THE_END in notes:
        at = notes.index(TAKEN_FROM_THE_END)
        notes[at] += f" {_ELSEWHERE}"
    if TAKEN_FROM_THE_END in found.notes:
        notes.append(_BESIDE)
    for line in differences:
        print(f"# {line}")
    for line in notes:
        print(f". {line}")
    if differences:
        print(f"{plural(len(differences), 'difference')}: this is not what was sealed.")
        return ExitCode.VERIFY_DIFFERS
    print("No difference found.")
    return ExitCode.NOTHING_HELD_UP


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


def _against_or_why_not(
    found: Verified, document: Path
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    try:
        return _against(found, document)
    except DossierError as problem:
        if not found.differences:
            raise
        # A document that is of no use must not keep what was found from being said.
        return (), (), (f"{document.name} was not compared: {problem}",)


def _against(
    found: Verified, document: Path
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
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
        return (), (), tuple(why)
    sealed = [
        SealedFile(f"{bag.name}/{file}", bag.folder / file, digest)
        for bag in whole
        for file, digest in bag.payload.items()
    ]
    held = hold_against(document, sealed)
    if held.like is None and changed:
        # It may have been sealed in a folder that cannot be asked.
        return (), (), (*why, *held.whole.differences)
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
    return (
        tuple(says for part in parts for says in part.same),
        tuple(says for part in parts for says in part.differences),
        (*(says for part in parts for says in part.notes), *why),
    )
