"""`dossier claim JOB`: what was promised, built and seen at one place, and the papers of a claim."""

import argparse

from dossier.commands.after import Flags, add_entry, blank_wanted, show_then_seal, told
from dossier.commands.given import Here
from dossier.errors import ExitCode
from dossier.words import EntryKind

SAYS = (
    "answer a claim from the sealed job: coverage on that day, what was built there, and its papers"
)
EXAMPLE = (
    "dossier claim my-office/2026-041-plover-lane --number C-1 --on 2040-03-02 --today 2040-03-04 \\\n"
    '      --slope back --from-eave "3 ft" \\\n'
    '      --seen "a brown ring on the ceiling" --seen-on 2040-03-01 --called-by "Tore Lindahl"\n'
    "  dossier claim --blank > claim.yaml\n"
    "  dossier claim my-office/2026-041-plover-lane --take claim.yaml"
)
_FLAGS: Flags = (
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


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the day, and what is told of the claim."""
    command.add_argument("--on", metavar="YYYY-MM-DD", help="the day of the claim")
    add_entry(command, _FLAGS)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Show a claim with what would be written, or seal it beside the job; print what is held."""
    if blank_wanted(given, "claim.yaml"):
        return ExitCode.NOTHING_HELD_UP
    return show_then_seal(given, here, EntryKind.CLAIM, {"on": given.on}, told(given, _FLAGS))
