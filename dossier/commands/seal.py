"""`dossier seal JOB`: the whole job folder into its first sealed bag."""

import argparse
from pathlib import Path

from dossier.commands.given import Here, add_checked_job, add_fresh_sheets, asked_of
from dossier.commands.show import heading, items_text, to_stderr, unreadable_text
from dossier.errors import ExitCode
from dossier.values import listed, plural

SAYS = "copy the whole job into sealed/0001-closeout/, with checksums that show a later change"
EXAMPLE = "dossier seal my-office/2026-061-birch-road"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job, its sheets, whether to seal what is not ready, and the key."""
    add_checked_job(command, waits=True)
    add_fresh_sheets(command)
    command.add_argument(
        "--incomplete",
        action="store_true",
        help="seal though items hold the handover; the sealed folder then says so and names them",
    )
    command.add_argument(
        "--sign",
        type=Path,
        metavar="KEY",
        help="sign it with this private key; without it with keys/office of the office folder, if there",
    )
    command.add_argument(
        "--unsigned", action="store_true", help="do not sign it though the office has a key"
    )


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Seal the job, print where and by which digest, and return the exit code it means."""
    from dossier.archive.keys import OFFICE_KEY
    from dossier.deeds.sealing import seal_job
    from dossier.punchlist import PunchList

    done = seal_job(
        asked_of(given, here),
        here.clock,
        incomplete=given.incomplete,
        key_file=given.sign,
        unsigned=given.unsigned,
    )
    checked = done.checked
    for line in heading(checked):
        to_stderr(line)
    if done.by_as_built:
        print(
            f"Judged and printed by as-built/, since {listed(done.by_as_built)} "
            f"{'says' if len(done.by_as_built) == 1 else 'say'} something else today. If this job was built by "
            "today's sheets: --fresh-sheets"
        )
    if not checked.readable:
        print(unreadable_text(checked))
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
    for sentence in done.of_index:
        to_stderr(sentence)
    print(f"Sealed {plural(done.files, 'file')} in {done.folder}")
    if done.held:
        print(
            f"Sealed as incomplete: {plural(len(done.held), 'item holds', 'items hold')} the handover, and "
            "bag-info.txt names them."
        )
    print(f"Digest: {done.digest}")
    print(
        "Signed with the office's key."
        if done.signed
        else "Not signed: write the digest down outside this disk. Where the office has a key, all that it seals "
        f"is signed; to make one, in the office folder: dossier key {OFFICE_KEY}"
    )
    return ExitCode.NOTHING_HELD_UP
