"""The words of the command line: every command with its arguments and examples.

In: nothing. Out: the parser. Must not run a command, nor load what one needs.
"""

import argparse
from collections.abc import Callable
from pathlib import Path

from dossier import __version__
from dossier.commands.add_arguments import add_kinds
from dossier.commands.after_arguments import add_claim, add_transfer
from dossier.commands.typed import add_job, add_office, add_today, add_wait, day, new_place
from dossier.errors import EXIT_CODE_MEANINGS

Add = Callable[[str, str, str], argparse.ArgumentParser]
"""Adds a command by its name, what it does and an example, and returns its parser."""

_CAUTION = (
    "dossier reads and prints papers. It gives no legal advice and no structural judgement; local code, "
    "the permit office, the maker's printed terms and licensed people decide."
)


def parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    codes = "\n".join(f"  {int(code):>3}  {said}" for code, said in EXIT_CODE_MEANINGS.items())
    whole = argparse.ArgumentParser(
        prog="dossier",
        description="Closeout and warranty papers for a re-roofing job, from one job folder.",
        epilog=f"Exit codes:\n{codes}\n\n{_CAUTION}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    whole.add_argument("--version", action="version", version=f"dossier {__version__}")
    commands = whole.add_subparsers(dest="command", required=True, metavar="COMMAND")

    def add(name: str, says: str, example: str) -> argparse.ArgumentParser:
        return commands.add_parser(
            name,
            help=says,
            description=f"{says[0].upper()}{says[1:]}.",
            epilog=f"Example:\n  {example}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )

    _add_start(add)
    _add_job_commands(add)
    _add_gather(add)
    _add_review(add)
    _add_verify(add)
    _add_after(add)
    _add_questions(add)
    _add_others(add)
    return whole


def _add_start(add: Add) -> None:
    """Add what makes a new job."""
    start = add(
        "start",
        "make a new job folder with a commented record to fill in; an office folder too if there is none",
        "dossier start my-office/2026-061-birch-road",
    )
    start.add_argument("folder", type=new_place, metavar="FOLDER", help="the job folder to make")


def _add_job_commands(add: Add) -> None:
    """Add the commands that read one job and print."""
    for name, says, example in (
        (
            "check",
            "print what is missing, who owes it, why and by when",
            "dossier check my-office/2026-061-birch-road --today 2026-10-20",
        ),
        (
            "build",
            "write the punch list, the handover and the registration packet",
            "dossier build my-office/2026-061-birch-road --out papers-for-the-maker",
        ),
        (
            "working",
            "print every figure with its formula, its inputs and where they came from, and its source",
            "dossier working my-office/2026-061-birch-road",
        ),
        (
            "seal",
            "copy the whole job into sealed/0001-closeout/, with checksums that show a later change",
            "dossier seal my-office/2026-061-birch-road",
        ),
    ):
        command = add(name, says, example)
        add_job(command)
        add_office(command)
        add_today(
            command,
            "count deadlines from this day; without it from today in the locality's time zone",
        )
        command.add_argument(
            "--fresh",
            action="store_true",
            help="measure and reduce every file again, using nothing kept from earlier runs",
        )
        if name in ("build", "seal"):
            add_wait(command)
        command.add_argument("--verbose", action="store_true", help="log each step on stderr")
        if name == "check":
            command.add_argument(
                "--json", action="store_true", help="print the list as JSON on stdout"
            )
        if name in ("build", "seal"):
            command.add_argument(
                "--fresh-sheets",
                action="store_true",
                help="copy today's sheets into as-built/ though they differ from those the job was built by",
            )
        if name == "seal":
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
        elif name == "build":
            command.add_argument(
                "--out",
                type=new_place,
                metavar="FOLDER",
                help="write there instead of into the job's out/; an empty or new folder, outside every job",
            )


def _add_gather(add: Add) -> None:
    """Add the filing of a heap, and of a ticket."""
    gather = add(
        "gather",
        "file photos and papers out of folders, zips and files; or a supplier's ticket",
        "dossier gather my-office/2026-061-birch-road crew-phone.zip mail-attachments --sheet look.pdf\n"
        "  dossier gather my-office/2026-061-birch-road ticket.csv --supplier fjordgate",
    )
    add_job(gather)
    gather.add_argument(
        "sources", type=Path, nargs="*", metavar="SOURCE", help="a folder, a zip or a file"
    )
    gather.add_argument(
        "--yes", action="store_true", help="file it as proposed; without it nothing is filed"
    )
    gather.add_argument(
        "--without-slopes",
        action="store_true",
        help="with --yes, file photos although the record has no slopes for the words in their names",
    )
    for option, metavar, says in (
        ("--take", "FILE", "file it as this edited proposal says"),
        ("--proposal", "FILE", "write the proposal there instead of into the job's .dossier/"),
        ("--sheet", "FILE.pdf", "also write a contact sheet, every picture with its number"),
    ):
        kind = Path if option == "--take" else new_place
        gather.add_argument(option, type=kind, metavar=metavar, help=says)
    add_office(gather)
    gather.add_argument("--undo", action="store_true", help="take the last gather of this job back")
    gather.add_argument(
        "--from",
        dest="received_from",
        metavar="WHO",
        help="who sent the photos whose camera time is lost, such as “crew phone 2”",
    )
    gather.add_argument(
        "--supplier", metavar="NAME", help="read one ticket by suppliers/NAME.yaml of the office"
    )
    add_today(
        gather,
        "the day it is received; without it today in the locality's time zone",
    )

    add_wait(gather)


def _add_review(add: Add) -> None:
    """Add the noting of who looked at what."""
    review = add(
        "review",
        "list the photos and papers that wait for somebody's look, or note a look in the record",
        "dossier review my-office/2026-061-birch-road\n"
        "  dossier review my-office/2026-061-birch-road --file photos/field/front-nails.jpg \\\n"
        '      --by "Ida Torvik" --on 2026-09-20 --shows "six nails in each shingle" --yes\n'
        "  dossier review my-office/2026-061-birch-road --list > review.yaml\n"
        "  dossier review my-office/2026-061-birch-road --take review.yaml --yes",
    )
    add_job(review)
    review.add_argument(
        "--file", metavar="FILE", help="the photo or paper looked at, by its path in the job folder"
    )
    review.add_argument("--by", metavar="NAME", help="who looked")
    review.add_argument("--on", type=day, metavar="YYYY-MM-DD", help="on which day")
    review.add_argument("--shows", metavar="TEXT", help="what is to be seen, in a few words")
    review.add_argument(
        "--list", action="store_true", help="print what waits as YAML, to be filled in"
    )
    review.add_argument(
        "--take", type=Path, metavar="YAML", help="note the looks of a list that was filled in"
    )
    review.add_argument(
        "--yes", action="store_true", help="write it; without this the change is only shown"
    )
    add_office(review)
    add_today(
        review,
        "no look may be dated after this day; without it after today in the locality's time zone",
    )

    add_wait(review)


def _add_verify(add: Add) -> None:
    """Add the check of what was sealed, and the key to sign it with."""
    verify = add(
        "verify",
        "name every file of a sealed folder that was changed, is missing or was added",
        "dossier verify my-office/2026-061-birch-road --against handover.pdf --key keys/office.pub",
    )
    verify.add_argument(
        "folder", type=Path, metavar="FOLDER", help="a job folder, its sealed/, or one folder in it"
    )
    verify.add_argument(
        "--against",
        type=Path,
        metavar="FILE.pdf",
        help="compare this document, page by page, with the sealed one that it is a copy of",
    )
    verify.add_argument(
        "--key",
        type=Path,
        metavar="PUBLIC",
        help="check the signatures with this public key; without it with keys/office.pub of the office, if there",
    )
    verify.add_argument(
        "--digest",
        metavar="HEX",
        help="compare the newest folder with its digest, as it was printed when that was sealed",
    )
    key = add(
        "key",
        "make the office's own key pair, to sign what it seals",
        "dossier key keys/office",
    )
    key.add_argument("file", type=new_place, metavar="NEWFILE", help="the private key to write")


def _add_after(add: Add) -> None:
    """Add what happens after close-out."""
    add_kinds(
        add(
            "add",
            "add what came after close-out to a sealed job: a correction, a late paper or photo, a registration, "
            "a repair, work by others, an inspection, a note",
            "dossier add correction my-office/2026-041-plover-lane --was 0012346 --is 0012354 \\\n"
            '      --why "two digits read wrongly off the wrapper" --found-by "Ida Torvik"\n'
            "  dossier add KIND --help",
        )
    )
    claim = add(
        "claim",
        "answer a claim from the sealed job: coverage on that day, what was built there, and its papers",
        "dossier claim my-office/2026-041-plover-lane --number C-1 --on 2040-03-02 --today 2040-03-04 \\\n"
        '      --slope back --from-eave "3 ft" \\\n'
        '      --seen "a brown ring on the ceiling" --seen-on 2040-03-01 --called-by "Tore Lindahl"\n'
        "  dossier claim --blank > claim.yaml\n"
        "  dossier claim my-office/2026-041-plover-lane --take claim.yaml",
    )
    add_claim(claim)
    add_wait(claim)
    transfer = add(
        "transfer",
        "record a sale of the house: which coverages pass, until when, and the notices of it",
        "dossier transfer my-office/2026-041-plover-lane --closing 2033-06-17 --today 2033-06-20 \\\n"
        '      --buyer "Tore Lindahl"\n'
        "  dossier transfer --blank > sale.yaml\n"
        "  dossier transfer my-office/2026-041-plover-lane --take sale.yaml",
    )
    add_transfer(transfer)
    add_wait(transfer)


def _add_questions(add: Add) -> None:
    """Add the commands that answer from the index of an office folder."""
    index = add(
        "index",
        "look at every job folder of the office and bring the index up to date",
        "dossier index --office my-office",
    )
    index.add_argument(
        "--rebuild", action="store_true", help="read every job again, changed or not"
    )
    find = add(
        "find",
        "find jobs by address, owner, permit, telephone, claim, product, lot or note; streets may be misspelt",
        "dossier find 118 plovr lane\n  dossier find R-2026-1187",
    )
    find.add_argument(
        "words",
        nargs="+",
        metavar="WORD",
        help="all have to be in the job; of a word, its first three letters are enough",
    )
    lots = add(
        "lots",
        "list every job, slope and quantity that carries a lot, for a maker's recall",
        "dossier lots 0012345\n  dossier lots 0012345 --csv > recall.csv",
    )
    lots.add_argument(
        "mark", metavar="MARK", help="the mark as printed on the wrapper; leading zeros count"
    )
    due = add(
        "due",
        "list every deadline across all jobs, soonest first, with what is missing for it",
        "dossier due --until 2026-12-31",
    )
    due.add_argument(
        "--until", type=day, metavar="YYYY-MM-DD", help="only what is due up to this day"
    )
    due.add_argument(
        "--passed", action="store_true", help="also deadlines that passed more than 30 days ago"
    )
    office = add(
        "office",
        "print the figures of the office: registered in time, days it took, re-decked, missing most",
        "dossier office --pdf office-2026-10.pdf",
    )
    office.add_argument(
        "--pdf", type=new_place, metavar="FILE", help="also write them on one page, into a new file"
    )
    for command in (lots, office):
        command.add_argument("--csv", action="store_true", help="print CSV on stdout")
    for command in (due, office):
        add_today(
            command,
            "count from this day; without it from the machine's own today",
        )
    for command in (index, find, lots, due, office):
        add_office(command, "the nearest at or above the current one")


def _add_others(add: Add) -> None:
    """Add what needs no job folder."""
    recover = add(
        "recover",
        "get the record back out of a handover document, into a new folder",
        "dossier recover handover.pdf recovered-record",
    )
    recover.add_argument(
        "document", type=Path, metavar="PDF", help="the document as it was handed over"
    )
    recover.add_argument(
        "folder", type=new_place, metavar="NEWFOLDER", help="a folder that is not there yet"
    )
    explain = add(
        "explain", "print one rule in full: why, source, what to do", "dossier explain MAT-001"
    )
    explain.add_argument("id", metavar="ID", help="the id beside an item, such as MAT-001")
    add("schema", "print the record's form as JSON Schema", "dossier schema > record.schema.json")
