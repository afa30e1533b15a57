"""`dossier seal JOB`: the whole job folder into its first sealed bag; `dossier key`: the office's own key."""

from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from dossier.archive.keys import OFFICE_KEY, make_keys, office_key, private_key
from dossier.commands.check import notes
from dossier.commands.show import items_text, summary, to_stderr
from dossier.deeds.sealing import seal
from dossier.errors import ExitCode, WrongCommand
from dossier.index.answer import keep_current
from dossier.punchlist import PunchList
from dossier.steps.asked import Asked
from dossier.terms.place import COMPANY_FILE, find_office
from dossier.values import Clock, listed, plural


def run_seal(
    asked: Asked, clock: Clock, incomplete: bool, key_file: Path | None, *, unsigned: bool = False
) -> ExitCode:
    """Seal the job, print where and by which digest, and return the exit code it means.

    key_file: to sign with; where None, the office's own key is taken if it has one. unsigned: without any.
    """
    if key_file is not None and unsigned:
        raise WrongCommand("Found both --sign and --unsigned.", "Give one of them.")
    if key_file is not None:
        key: Ed25519PrivateKey | None = private_key(key_file)
    else:
        key = None if unsigned else office_key(asked.office_folder or find_office(asked.job_folder))
    done = seal(asked, clock, incomplete=incomplete, key=key)
    checked = done.checked
    to_stderr(f"Office folder: {checked.run.office_folder}")
    for line in notes(checked):
        to_stderr(line)
    if done.by_as_built:
        print(
            f"Judged and printed by as-built/, since {listed(done.by_as_built)} "
            f"{'says' if len(done.by_as_built) == 1 else 'say'} something else today. If this job was built by "
            "today's sheets: --fresh-sheets"
        )
    if not checked.readable:
        print(items_text(checked.punch_list))
        print(summary(checked.number, checked.punch_list, checked.readable))
        print("Nothing was sealed.")
        return ExitCode.UNREADABLE_INPUT
    if done.folder is None:
        print(items_text(PunchList.of(done.held)))
        print(
            f"Job {checked.number}: {plural(len(done.held), 'item holds', 'items hold')} the handover, and "
            "nothing was sealed.\nMend them, or seal the job as it is, which the sealed folder then says: "
            "--incomplete"
        )
        return ExitCode.ITEMS_HOLD
    job = checked.run.job_folder
    keep_current(asked.office_folder or find_office(job), job, to_stderr)
    print(f"Sealed {plural(done.files, 'file')} in {done.folder}")
    if done.held:
        print(
            f"Sealed as incomplete: {plural(len(done.held), 'item holds', 'items hold')} the handover, and "
            "bag-info.txt names them."
        )
    print(f"Digest: {done.digest}")
    print(
        "Signed with the office's key."
        if key is not None
        else "Not signed: write the digest down outside this disk. Where the office has a key, all that it seals "
        f"is signed; to make one, in the office folder: dossier key {OFFICE_KEY}"
    )
    return ExitCode.NOTHING_HELD_UP


def run_key(file: Path) -> ExitCode:
    """Make a key pair and say what to do with it."""
    public = make_keys(file)
    office = file.resolve().parent.parent
    if file.resolve() == office / OFFICE_KEY and (office / COMPANY_FILE).is_file():
        print(f"From now on what is sealed in {office} is signed with this key.")
    print(f"Private key, for dossier seal --sign: {file}")
    print(
        "  Keep it where few people can read it, with one copy elsewhere, and never in a job folder."
    )
    print(f"Public key, for dossier verify --key: {public}")
    print("  Give it to whoever may want to check, and keep a copy off this disk.")
    return ExitCode.NOTHING_HELD_UP
