"""The command-line words of `claim` and `transfer`: one table a command, and the entry's fields they fill.

In: a parser, or what was parsed. Out: the arguments added, or the command run. Must not read an entry: what
is typed here goes to it as text, and its own fields say what is wrong.
"""

import argparse
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.commands.typed import add_today
from dossier.disk.outputs import Holder
from dossier.errors import ExitCode, WrongCommand
from dossier.values import Clock, Progress

if TYPE_CHECKING:
    from dossier.commands.after import AfterAsked

Flags = Sequence[tuple[str, str, str, str]]
"""Of each value: its flag, the field of the entry it fills, what stands for it, what it is."""

_CLAIM: Flags = (
    ("--number", "number", "TEXT", "the office's number of the claim"),
    ("--slope", "slope", "LABEL", "the slope, by its label; left away where nobody can tell"),
    ("--from-eave", "from_eave_ft", "LENGTH", "up the slope from the eave, such as “3 ft”"),
    ("--from-rake", "from_rake_ft", "LENGTH", "from the left rake, seen from the ground"),
    ("--room", "room_below", "TEXT", "the room below"),
    ("--seen", "seen", "TEXT", "what was seen, in the caller's words"),
    ("--seen-on", "seen_on", "YYYY-MM-DD", "when it was first seen"),
    ("--called-by", "called_by", "NAME", "who called"),
    ("--phone", "phone", "TEXT", "the caller's telephone"),
    ("--own-insurer-told", "own_insurer_told_on", "YYYY-MM-DD", "own liability insurer told on"),
    (
        "--subcrew-insurer-told",
        "subcrew_insurer_told_on",
        "YYYY-MM-DD",
        "sub-crew's insurer told on; or “n/a, REASON”",
    ),
    (
        "--notice-and-repair-checked",
        "notice_and_repair_checked_on",
        "YYYY-MM-DD",
        "the state's notice-and-repair period looked up on",
    ),
    ("--owner-told", "owner_told_on", "YYYY-MM-DD", "owner told to protect, keep and wait on"),
    ("--maker-told", "maker_told_on", "YYYY-MM-DD", "notice given as the maker's terms ask on"),
)
_SALE: Flags = (
    ("--closing", "closing_on", "YYYY-MM-DD", "the day of the closing"),
    (
        "--corrects",
        "corrects",
        "YYYY-MM-DD",
        "the closing day of an earlier entry that was mistyped; this entry takes its place",
    ),
    ("--seller", "seller", "NAME", "who sold it"),
    ("--in-family", "in_family", "YES/NO", "whether it passed to spouse, heir or own trust"),
    ("--notice-sent", "notice_sent_on", "YYYY-MM-DD", "notice sent on"),
    ("--notice-received", "notice_received_on", "YYYY-MM-DD", "notice received on"),
    ("--notice-accepted", "notice_accepted_on", "YYYY-MM-DD", "transfer confirmed on"),
    ("--fee-paid", "fee_paid_on", "YYYY-MM-DD", "fee paid on"),
)
_BUYER: Flags = (
    ("--buyer", "name", "NAME", "who bought it"),
    ("--buyer-kind", "kind", "KIND", "living there, landlord, company, trust, association"),
    ("--buyer-phone", "phone", "TEXT", "telephone"),
    ("--buyer-email", "email", "TEXT", "e-mail"),
    ("--buyer-address", "mailing_address", "TEXT", "where post reaches the buyer"),
)


def add_claim(command: argparse.ArgumentParser) -> None:
    """Add what `claim` is told."""
    command.add_argument("--on", metavar="YYYY-MM-DD", help="the day of the claim")
    _add(command, _CLAIM)


def add_transfer(command: argparse.ArgumentParser) -> None:
    """Add what `transfer` is told."""
    _add(command, (*_SALE, *_BUYER))


def _add(command: argparse.ArgumentParser, flags: Flags) -> None:
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


def run_after(given: argparse.Namespace, clock: Clock, holder: Holder) -> ExitCode:
    """Run claim or transfer: both add one entry beside a sealed job."""
    from dossier.commands.after import print_blank
    from dossier.commands.show import progress_on

    if given.blank:
        return print_blank("claim.yaml" if given.command == "claim" else "sale.yaml")
    if given.job is None:
        raise WrongCommand("No job folder is named.", "Name it, or print a blank with --blank.")
    group: dict[str, object]
    head = {"noted_by": given.noted_by, "text": given.text}
    if given.command == "claim":
        group = {**told(given, _CLAIM)}
        head["on"] = given.on
    else:
        buyer = told(given, _BUYER)
        group = {**told(given, _SALE), **({"buyer": buyer} if buyer else {})}
        head["on"] = given.closing
    asked = asked_of(given, head, group, holder, progress_on(sys.stderr))
    if given.command == "claim":
        from dossier.commands.claim import run_claim

        return run_claim(asked, clock)
    from dossier.commands.transfer import run_transfer

    return run_transfer(asked, clock)


def asked_of(
    given: argparse.Namespace,
    head: Mapping[str, str | None],
    group: Mapping[str, object],
    holder: Holder,
    progress: Progress,
) -> "AfterAsked":
    """Return what was parsed of one entry. head, group: its fields by name; blank ones are left out."""
    from dossier.commands.after import AfterAsked

    return AfterAsked(
        job_folder=given.job,
        take=given.take,
        today=given.today,
        head={name: value for name, value in head.items() if value},
        group=group,
        as_found=given.as_found,
        holder=holder,
        progress=progress,
        write=given.yes is not None,
        shown=given.yes or None,
        key_file=given.sign,
    )


def told(given: argparse.Namespace, flags: Flags) -> dict[str, str]:
    """Return the fields of the entry that flags fill, by name."""
    values = {field: getattr(given, flag[2:].replace("-", "_")) for flag, field, *_ in flags}
    return {field: value for field, value in values.items() if value}
