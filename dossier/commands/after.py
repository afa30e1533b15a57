"""What `add`, `claim` and `transfer` share: an entry from flags or a file, shown whole, then sealed.

In: what was parsed. Out: the entry on the screen, or sealed. Must not read an entry: what is typed goes to it as
text, and its own fields say what is wrong.
"""

import argparse
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.commands.given import Here, add_today, add_wait
from dossier.commands.show import progress_on, to_stderr
from dossier.errors import ExitCode, WrongCommand
from dossier.record.places import SEALED
from dossier.resources import resource
from dossier.words import EntryKind

if TYPE_CHECKING:
    from dossier.deeds.answering import Answered, Prepared

Flags = Sequence[tuple[str, str, str, str]]
"""Of each value: its flag, the field of the entry it fills, what stands for it, what it is."""


def add_entry(command: argparse.ArgumentParser, flags: Flags) -> None:
    """Add what an entry is told that may be printed as a blank: the job, a file, or a flag for each value."""
    command.add_argument("job", type=Path, nargs="?", metavar="JOB", help="the sealed job's folder")
    command.add_argument("--take", type=Path, metavar="FILE", help="an entry that was filled in")
    command.add_argument("--blank", action="store_true", help="print a commented blank entry")
    add_flags(command, flags)
    add_common(command)


def add_flags(command: argparse.ArgumentParser, flags: Flags) -> None:
    """Add a flag for each value of an entry."""
    for flag, _, metavar, says in flags:
        command.add_argument(flag, metavar=metavar, help=says)


def add_common(command: argparse.ArgumentParser) -> None:
    """Add what every entry is told: whether to seal it, who notes it, and on which day."""
    command.add_argument(
        "--yes",
        nargs="?",
        const="",
        metavar="MARK",
        help="seal it; without this the entry is only shown. MARK: as it was printed when it was shown, so that "
        "nothing else is sealed than what was seen",
    )
    command.add_argument("--sign", type=Path, metavar="KEY", help="sign with the office's own key")
    command.add_argument(
        "--as-found",
        action="store_true",
        help="go on even where something sealed was changed since, which the documents then say",
    )
    command.add_argument("--noted-by", metavar="NAME", help="who notes it")
    command.add_argument("--text", metavar="TEXT", help="a note for the office")
    add_today(command, "the day printed; without it today in the locality's time zone")
    add_wait(command)


def told(given: argparse.Namespace, flags: Flags) -> dict[str, str]:
    """Return the fields of the entry that flags fill, by name."""
    values = {field: getattr(given, flag[2:].replace("-", "_")) for flag, field, *_ in flags}
    return {field: value for field, value in values.items() if value}


def blank_wanted(given: argparse.Namespace, name: str) -> bool:
    """Print a commented blank entry where that is asked for, and return whether it was."""
    if given.blank:
        print(resource("start", name).read_text(encoding="utf-8"), end="")
    elif given.job is None:
        raise WrongCommand("No job folder is named.", "Name it, or print a blank with --blank.")
    return bool(given.blank)


def show_then_seal(
    given: argparse.Namespace,
    here: Here,
    kind: EntryKind,
    head: Mapping[str, str | None],
    group: Mapping[str, object],
    *,
    on_today: bool = False,
) -> ExitCode:
    """Show one entry whole, and seal it where that was asked for; return the exit code it means.

    head, group: its fields by name; blank ones are left out. on_today: whether it happened on the day of the run
    where no day is given.
    """
    from dossier.archive.keys import private_key
    from dossier.deeds.entering import EntryAsked, prepare_entry, seal_entry

    # A key that cannot be read is said before a byte of the sealed job is.
    key = private_key(given.sign) if given.sign is not None else None
    said = {"noted_by": given.noted_by, "text": given.text, **head}
    asked = EntryAsked(
        job_folder=given.job,
        kind=kind,
        take=given.take,
        today=given.today,
        head={name: value for name, value in said.items() if value},
        group=group,
        as_found=given.as_found,
        holder=here.holder,
        progress=progress_on(sys.stderr),
        files=tuple(getattr(given, "files", None) or ()),
        on_today=on_today,
        shown=given.yes or None,
    )
    prepared = prepare_entry(asked, here.clock)
    if not asked.shown:
        print(entry_text(prepared))
    if given.yes is None:
        print(
            "\nNothing is sealed yet. To seal it as it is shown, the same line again with: "
            f"--yes {prepared.mark}"
        )
        return ExitCode.NOTHING_HELD_UP
    done = seal_entry(prepared, asked.shown, key)
    for sentence in done.of_index:
        to_stderr(sentence)
    return _print_answered(done.answered)


def entry_text(prepared: "Prepared") -> str:
    """Return the whole of an entry as it would be sealed, for a terminal."""
    from dossier.archive.supplements import next_name
    from dossier.record.entry import FILES

    job, new = prepared.job, prepared.new
    place = f"{job.folder}/{SEALED}/{next_name(job.folder, new.entry.on, new.entry.kind)}"
    lines = [f"To be sealed in {place}:", "  entry.yaml"]
    lines += [f"    {line}" for line in new.data.decode("utf-8", "replace").splitlines()]
    lines += [f"  {FILES}{name}, {len(data):,} bytes" for name, data in sorted(new.files.items())]
    lines += [f"  documents/{name}" for name in prepared.documents]
    lines += [*prepared.said, *prepared.lacking]
    if prepared.held:
        lines.append("The homeowner's edition cannot be written yet. Before it, the office has to:")
        lines += [f"  - {what}" for what in prepared.held]
    return "\n".join(lines)


def _print_answered(done: "Answered") -> ExitCode:
    """Print what was written and what is held; 1 where something asked for could not be written yet."""
    print(f"Sealed in {done.folder}:")
    for name in done.documents:
        print(f"  data/documents/{name}")
    for says in (*done.said, *done.lacking):
        print(says)
    if done.lacking:
        return ExitCode.ITEMS_HOLD
    if not done.held:
        return ExitCode.NOTHING_HELD_UP
    print("The homeowner's edition is not written yet. Before it, the office has to:")
    for what in done.held:
        print(f"  - {what}")
    print("Then answer again with the days of each; dossier claim --help names the flag of each.")
    to_stderr(
        "Nothing is decided here: by the printed terms and this record; the warrantor decides."
    )
    return ExitCode.ITEMS_HOLD
