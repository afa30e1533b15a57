"""`dossier add KIND JOB`: what came after close-out, sealed beside the job; one table a kind of entry."""

import argparse
from dataclasses import dataclass
from pathlib import Path

from dossier.commands.after import Flags, add_common, add_flags, show_then_seal, told
from dossier.commands.given import Here
from dossier.errors import ExitCode
from dossier.words import EntryKind

SAYS = (
    "add what came after close-out to a sealed job: a correction, a late paper or photo, a registration, "
    "a repair, work by others, an inspection, a note"
)
EXAMPLE = (
    "dossier add correction my-office/2026-041-plover-lane --was 0012346 --is 0012354 \\\n"
    '      --why "two digits read wrongly off the wrapper" --found-by "Ida Torvik"\n'
    "  dossier add KIND --help"
)


@dataclass(frozen=True)
class _Kind:
    """One kind of entry on the command line. files: what is named behind the job; blank for nothing."""

    word: str
    kind: EntryKind
    says: str
    example: str
    flags: Flags
    files: str = ""
    file_flag: tuple[str, str] = ("", "")


_JOB = "my-office/2026-041-plover-lane"
_WORK: Flags = (
    ("--what", "what", "TEXT", "what was done"),
    ("--by", "by", "NAME", "who did it"),
    ("--slope", "slope", "LABEL", "the slope, by its label"),
    ("--from-eave", "from_eave_ft", "LENGTH", "up the slope from the eave, such as “3 ft”"),
    ("--from-rake", "from_rake_ft", "LENGTH", "from the left rake, seen from the ground"),
    ("--claim", "claim", "TEXT", "the office's number of the claim it answers"),
)
_PICTURES = ("--photo", "a picture of it, sealed with the entry; may be given again")

_KINDS = (
    _Kind(
        "correction",
        EntryKind.CORRECTION,
        "put one field of the sealed record right, with what stood there and why",
        f"dossier add correction {_JOB} --was 0012346 --is 0012354 \\\n"
        '      --why "two digits read wrongly off the wrapper" --found-by "Ida Torvik" \\\n'
        "      --paper papers/ticket-55120.pdf",
        (
            (
                "--field",
                "field",
                "PATH",
                "the field, such as slopes.front.pitch or deliveries.55120.on; may be left away where --was "
                "stands in one field alone",
            ),
            ("--was", "was", "TEXT", "what stands there now; left away where nothing does"),
            ("--is", "right", "TEXT", "what is right, as it would be typed; left away for nothing"),
            ("--why", "why", "TEXT", "how it came to be wrong, and what shows that it was"),
            ("--found-by", "found_by", "NAME", "who found it"),
            (
                "--paper",
                "paper",
                "FILE",
                "the paper or photo that shows it: a sealed one, or a file",
            ),
        ),
    ),
    _Kind(
        "late-paper",
        EntryKind.LATE_PAPER,
        "add papers that came after close-out",
        f"dossier add late-paper {_JOB} scans/ticket-55170.pdf --kind ticket",
        (
            ("--kind", "kind", "KIND", "what it is, such as ticket, permit or certificate"),
            ("--dated", "on", "YYYY-MM-DD", "the paper's own day"),
            ("--backs", "backs", "TEXT", "what it backs"),
        ),
        files="the papers",
    ),
    _Kind(
        "late-photo",
        EntryKind.LATE_PHOTO,
        "add photos that came after close-out",
        f"dossier add late-photo {_JOB} phone/nails.jpg --phase field --slope front",
        (
            ("--phase", "phase", "PHASE", "the phase they show, such as field"),
            ("--slope", "slope", "LABEL", "the slope they show"),
            ("--caption", "caption", "TEXT", "what they show, in a few words"),
            ("--from", "received_from", "NAME", "who sent them"),
        ),
        files="the photos",
    ),
    _Kind(
        "registration",
        EntryKind.REGISTRATION_CONFIRMED,
        "note that a maker confirmed a registration",
        f"dossier add registration {_JOB} --confirmed 2026-10-28 --number TH-88213",
        (
            ("--confirmed", "confirmed_on", "YYYY-MM-DD", "the day of the confirmation"),
            ("--number", "confirmation", "TEXT", "the maker's confirmation number"),
            ("--sheet", "sheet", "NAME", "the terms sheet, where the job asks for several"),
            ("--level", "level", "NAME", "the level, where the job asks for several"),
            ("--by", "by", "NAME", "who confirmed it"),
        ),
        file_flag=("--certificate", "the certificate, sealed with the entry"),
    ),
    _Kind(
        "repair",
        EntryKind.REPAIR,
        "note a repair by this company",
        f'dossier add repair {_JOB} --on 2031-04-02 --slope back --what "a pipe boot replaced"',
        _WORK,
        file_flag=_PICTURES,
    ),
    _Kind(
        "work-by-others",
        EntryKind.WORK_BY_OTHERS,
        "note work on the roof by somebody else",
        f'dossier add work-by-others {_JOB} --on 2031-04-02 --by "the owner\'s plumber" \\\n'
        '      --what "a vent pipe put through the back slope"',
        _WORK,
        file_flag=_PICTURES,
    ),
    _Kind(
        "makers-inspection",
        EntryKind.MAKERS_INSPECTION,
        "note that the maker had the roof looked at, and what it decided",
        f'dossier add makers-inspection {_JOB} --on 2040-04-02 --found "blisters on the front slope"',
        (
            ("--found", "found", "TEXT", "what was found"),
            ("--decision", "decision", "TEXT", "what the maker decided"),
            ("--decided", "decided_on", "YYYY-MM-DD", "when it decided"),
            ("--by", "by", "NAME", "who looked"),
            ("--sheet", "sheet", "NAME", "the terms sheet"),
            ("--claim", "claim", "TEXT", "the office's number of the claim"),
        ),
        file_flag=("--paper", "a paper of it, sealed with the entry; may be given again"),
    ),
    _Kind(
        "note",
        EntryKind.NOTE,
        "note anything else, for the company alone",
        f'dossier add note {_JOB} --text "the owner asks for a copy of the handover"',
        (),
    ),
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add a command for each kind of entry, with its own arguments."""
    kinds = command.add_subparsers(dest="added", required=True, metavar="KIND")
    for kind in _KINDS:
        one = kinds.add_parser(
            kind.word,
            help=kind.says,
            description=f"{kind.says[0].upper()}{kind.says[1:]}.",
            epilog=f"Example:\n  {kind.example}\n"
            "It is shown whole, and sealed by the same line with --yes and the mark that was printed.",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        one.add_argument("job", type=Path, metavar="JOB", help="the sealed job's folder")
        if kind.files:
            one.add_argument("files", type=Path, nargs="*", metavar="FILE", help=kind.files)
        on = "the day it happened; without it the day of the run"
        one.add_argument("--on", metavar="YYYY-MM-DD", help=on)
        add_flags(one, kind.flags)
        flag, says = kind.file_flag
        if flag:
            one.add_argument(
                flag, dest="files", type=Path, action="append", metavar="FILE", help=says
            )
        one.add_argument("--take", type=Path, metavar="FILE", help="a filled-in entry.yaml instead")
        add_common(one)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Show one entry, or seal it beside the job with its slip."""
    kind = next(one for one in _KINDS if one.word == given.added)
    group = told(given, kind.flags)
    on = {"on": given.on or group.get("confirmed_on", "")}
    return show_then_seal(given, here, kind.kind, on, group, on_today=True)
