"""`dossier verify FOLDER`: whether what was sealed still is what it was."""

from pathlib import Path

from dossier.archive.names import CLOSEOUT
from dossier.archive.noted import compare_noted, digest_typed
from dossier.archive.verify import TAKEN_FROM_THE_END, Verified, verify
from dossier.errors import DossierError, ExitCode, WrongCommand
from dossier.values import plural


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
    found = verify(folder, key)
    for bag in found.bags:
        signed = "signed" if bag.signed else "not signed"
        if key is not None and bag.signed and not bag.differences:
            signed = "signed with this key"
        count = plural(len(bag.payload), "file")
        state = "as it was sealed" if not bag.differences else "NOT as it was sealed"
        print(f"{bag.name}: {count}, {bag.size_bytes:,} bytes, {signed}, {state}")
        print(f"  digest {bag.digest or 'cannot be told'}")
    differences = list(found.differences)
    notes = list(found.notes)
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
        notes[at] += " Where somebody kept the newest one’s digest, compare it: --digest HEX"
    for line in differences:
        print(f"# {line}")
    for line in notes:
        print(f". {line}")
    if differences:
        print(f"{plural(len(differences), 'difference')}: this is not what was sealed.")
        return ExitCode.VERIFY_DIFFERS
    print("No difference found.")
    return ExitCode.NOTHING_HELD_UP


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
    from dossier.against import carries_record, compare, compare_digests

    if not carries_record(document):
        unchanged = {bag.digest: bag.name for bag in found.bags if not bag.differences}
        # A folder looked at by itself has no newest beside it.
        newest = found.bags[-1].digest if TAKEN_FROM_THE_END in found.notes else None
        done = compare_digests(document, unchanged, newest)
        return done.same, done.differences, done.notes
    closing = next((bag for bag in found.bags if bag.folder.name == CLOSEOUT), None)
    if closing is None:
        raise WrongCommand(
            f"{CLOSEOUT} is not among the folders looked at, and only that can be compared with a document.",
            "Name the job folder, its sealed/ folder, or the folder of the closing.",
        )
    if closing.differences:
        # What it holds now is not what was sealed; to compare with that would say nothing.
        why = f"{document.name} was not compared, since {CLOSEOUT} is not as it was sealed."
        return (), (), (why,)
    done = compare(document, closing.folder, closing.payload)
    return done.same, done.differences, done.notes
