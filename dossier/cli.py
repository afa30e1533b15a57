"""Arguments into a command, and every ending into an exit code.

In: the command line. Out: an exit code. The clock and the terminal are reached here and handed down.
"""

import argparse
import io
import logging
import sys
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from dossier import __version__
from dossier.errors import EXIT_CODE_MEANINGS, DossierError, ExitCode, WrongCommand
from dossier.values import parse_date

_CAUTION = (
    "dossier reads and prints papers. It gives no legal advice and no structural judgement; local code, "
    "the permit office, the maker's printed terms and licensed people decide."
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Return the exit code of one command line; `arguments` without the program's name."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal that is not UTF-8 shows a code for a quotation mark it lacks; nothing is lost.
            stream.reconfigure(errors="backslashreplace")
    logging.basicConfig(format="%(message)s", stream=sys.stderr)
    parser = _parser()
    given = parser.parse_args(arguments)
    if getattr(given, "verbose", False):
        logging.getLogger("dossier").setLevel(logging.INFO)
    try:
        return int(_run(given))
    except DossierError as error:
        print(f"dossier: {error.message}\n  {error.remedy}", file=sys.stderr)
        return int(error.exit_code)
    except KeyboardInterrupt:
        print("\ndossier: stopped; nothing is half-written.", file=sys.stderr)
        return int(ExitCode.INTERRUPTED)
    except BrokenPipeError:
        # Whoever read our output has seen enough; stdout must not be flushed again at exit.
        sys.stderr.close()
        return int(ExitCode.NOTHING_HELD_UP)
    except Exception:
        logging.getLogger("dossier").exception("dossier: a fault of its own; please report this:")
        return int(ExitCode.OUR_BUG)


def _run(given: argparse.Namespace) -> ExitCode:
    # Each command is imported when it is asked for, so that check never loads the layout library.
    if given.command in ("check", "build", "working"):
        from dossier.commands.show import progress_on
        from dossier.pipeline import Asked, system_clock

        asked = Asked(
            job_folder=given.job,
            office_folder=given.office,
            out_folder=getattr(given, "out", None),
            today=given.today,
            fresh=given.fresh,
            fresh_sheets=getattr(given, "fresh_sheets", False),
            progress=progress_on(sys.stderr),
        )
        if given.command == "check":
            from dossier.commands.check import run_check

            return run_check(asked, system_clock, given.json)
        if given.command == "working":
            from dossier.commands.working import run_working

            return run_working(asked, system_clock)
        from dossier.commands.build import run_build

        return run_build(asked, system_clock)
    if given.command == "explain":
        from dossier.commands.explain import run_explain

        return run_explain(given.id)
    if given.command == "schema":
        from dossier.commands.manual import schema_text

        print(schema_text(), end="")
        return ExitCode.NOTHING_HELD_UP
    if given.command == "review":
        from dossier.commands.review import ReviewAsked, run_review
        from dossier.commands.show import progress_on
        from dossier.pipeline import Asked, system_clock

        asked = Asked(given.job, given.office, today=given.today, progress=progress_on(sys.stderr))
        look = ReviewAsked(
            job=asked,
            as_list=given.list,
            file=given.file,
            by=given.by,
            on=given.on,
            shows=given.shows,
            take=given.take,
            write=given.yes,
        )
        return run_review(look, system_clock)
    if given.command == "gather":
        from dossier.commands.gather import Gathering, run_gather
        from dossier.commands.show import progress_on
        from dossier.pipeline import system_clock

        gathering = Gathering(
            job_folder=given.job,
            sources=tuple(given.sources),
            office_folder=given.office,
            today=given.today,
            yes=given.yes,
            take=given.take,
            undo=given.undo,
            proposal=given.proposal,
            sheet=given.sheet,
            received_from=given.received_from,
            supplier=given.supplier,
            progress=progress_on(sys.stderr),
        )
        return run_gather(gathering, system_clock)
    if given.command in ("claim", "transfer"):
        return _run_after(given)
    if given.command == "recover":
        from dossier.commands.recover import run_recover

        return run_recover(given.document, given.folder)
    from dossier.commands.start import run_start

    return run_start(given.folder)


_CLAIM_FLAGS = (
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
)
_SALE_FLAGS = (
    ("--closing", "closing_on", "YYYY-MM-DD", "the day of the closing"),
    ("--seller", "seller", "NAME", "who sold it"),
    ("--in-family", "in_family", "YES/NO", "whether it passed to spouse, heir or own trust"),
    ("--notice-sent", "notice_sent_on", "YYYY-MM-DD", "notice sent on"),
    ("--notice-received", "notice_received_on", "YYYY-MM-DD", "notice received on"),
    ("--notice-accepted", "notice_accepted_on", "YYYY-MM-DD", "transfer confirmed on"),
    ("--fee-paid", "fee_paid_on", "YYYY-MM-DD", "fee paid on"),
)
_BUYER_FLAGS = (
    ("--buyer", "name", "NAME", "who bought it"),
    ("--buyer-kind", "kind", "KIND", "living there, landlord, company, trust, association"),
    ("--buyer-phone", "phone", "TEXT", "telephone"),
    ("--buyer-email", "email", "TEXT", "e-mail"),
    ("--buyer-address", "mailing_address", "TEXT", "where post reaches the buyer"),
)


def _run_after(given: argparse.Namespace) -> ExitCode:
    """Run claim or transfer: both add one entry beside a sealed job."""
    from dossier.commands.after import AfterAsked, print_blank
    from dossier.commands.show import progress_on
    from dossier.pipeline import system_clock

    if given.blank:
        return print_blank("claim.yaml" if given.command == "claim" else "sale.yaml")
    if given.job is None:
        raise WrongCommand("No job folder is named.", "Name it, or print a blank with --blank.")

    def told(flags: Sequence[tuple[str, str, str, str]]) -> dict[str, str]:
        values = {field: getattr(given, flag[2:].replace("-", "_")) for flag, field, *_ in flags}
        return {field: value for field, value in values.items() if value}

    group: dict[str, str | Mapping[str, str]]
    head = {"noted_by": given.noted_by, "text": given.text}
    if given.command == "claim":
        group = {**told(_CLAIM_FLAGS)}
        head["on"] = given.on
    else:
        group = {**told(_SALE_FLAGS), **({"buyer": buyer} if (buyer := told(_BUYER_FLAGS)) else {})}
        head["on"] = given.closing
    asked = AfterAsked(
        job_folder=given.job,
        take=given.take,
        today=given.today,
        head={name: value for name, value in head.items() if value},
        group=group,
        progress=progress_on(sys.stderr),
    )
    if given.command == "claim":
        from dossier.commands.claim import run_claim

        return run_claim(asked, system_clock)
    from dossier.commands.transfer import run_transfer

    return run_transfer(asked, system_clock)


def _add_after(
    command: argparse.ArgumentParser, flags: Sequence[tuple[str, str, str, str]]
) -> None:
    """Add what claim and transfer are both told, and their own values."""
    command.add_argument("job", type=Path, nargs="?", metavar="JOB", help="the sealed job's folder")
    command.add_argument("--take", type=Path, metavar="FILE", help="an entry that was filled in")
    command.add_argument("--blank", action="store_true", help="print a commented blank entry")
    for flag, _, metavar, says in flags:
        command.add_argument(flag, metavar=metavar, help=says)
    command.add_argument("--noted-by", metavar="NAME", help="who notes it")
    command.add_argument("--text", metavar="TEXT", help="a note for the office")
    command.add_argument(
        "--today",
        type=_day,
        metavar="YYYY-MM-DD",
        help="the day printed; without it today in the locality's time zone",
    )


def _day(text: str) -> date:
    try:
        return parse_date(text)
    except ValueError as problem:
        raise argparse.ArgumentTypeError(str(problem)) from None


def _parser() -> argparse.ArgumentParser:
    codes = "\n".join(f"  {int(code):>3}  {said}" for code, said in EXIT_CODE_MEANINGS.items())
    parser = argparse.ArgumentParser(
        prog="dossier",
        description="Closeout and warranty papers for a re-roofing job, from one job folder.",
        epilog=f"Exit codes:\n{codes}\n\n{_CAUTION}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"dossier {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    def add(name: str, says: str, example: str) -> argparse.ArgumentParser:
        return commands.add_parser(
            name,
            help=says,
            description=f"{says[0].upper()}{says[1:]}.",
            epilog=f"Example:\n  {example}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )

    start = add(
        "start",
        "make a new job folder with a commented record to fill in; an office folder too if there is none",
        "dossier start my-office/2026-061-birch-road",
    )
    start.add_argument("folder", type=Path, metavar="FOLDER", help="the job folder to make")

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
    ):
        command = add(name, says, example)
        command.add_argument(
            "job", type=Path, metavar="JOB", help="the job folder, with its job.yaml"
        )
        command.add_argument(
            "--office",
            type=Path,
            metavar="FOLDER",
            help="the office folder; without it the nearest one above the job with a company.yaml",
        )
        command.add_argument(
            "--today",
            type=_day,
            metavar="YYYY-MM-DD",
            help="count deadlines from this day; without it from today in the locality's time zone",
        )
        command.add_argument(
            "--fresh", action="store_true", help="measure every file again, trusting no cache"
        )
        command.add_argument("--verbose", action="store_true", help="log each step on stderr")
        if name == "check":
            command.add_argument(
                "--json", action="store_true", help="print the list as JSON on stdout"
            )
        elif name == "build":
            command.add_argument(
                "--out",
                type=Path,
                metavar="FOLDER",
                help="write there instead of into the job's out/; an empty or new folder, outside every job",
            )
            command.add_argument(
                "--fresh-sheets",
                action="store_true",
                help="copy today's sheets into as-built/ though they differ from those the job was built by",
            )

    gather = add(
        "gather",
        "file photos and papers out of folders, zips and files; or a supplier's ticket",
        "dossier gather my-office/2026-061-birch-road crew-phone.zip mail-attachments --sheet look.pdf\n"
        "  dossier gather my-office/2026-061-birch-road ticket.csv --supplier fjordgate",
    )
    gather.add_argument("job", type=Path, metavar="JOB", help="the job folder, with its job.yaml")
    gather.add_argument(
        "sources", type=Path, nargs="*", metavar="SOURCE", help="a folder, a zip or a file"
    )
    gather.add_argument(
        "--yes", action="store_true", help="file it as proposed; without it nothing is filed"
    )
    for option, metavar, says in (
        ("--take", "FILE", "file it as this edited proposal says"),
        ("--proposal", "FILE", "write the proposal there instead of into the job's .dossier/"),
        ("--sheet", "FILE.pdf", "also write a contact sheet, every picture with its number"),
        ("--office", "FOLDER", "the office folder; without it the nearest one above the job"),
    ):
        gather.add_argument(option, type=Path, metavar=metavar, help=says)
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
    gather.add_argument(
        "--today",
        type=_day,
        metavar="YYYY-MM-DD",
        help="the day it is received; without it today in the locality's time zone",
    )

    review = add(
        "review",
        "list the photos and papers that wait for somebody's look, or note a look in the record",
        "dossier review my-office/2026-061-birch-road\n"
        "  dossier review my-office/2026-061-birch-road --file photos/field/front-nails.jpg \\\n"
        '      --by "Ida Torvik" --on 2026-09-20 --shows "six nails in each shingle" --yes\n'
        "  dossier review my-office/2026-061-birch-road --list > review.yaml\n"
        "  dossier review my-office/2026-061-birch-road --take review.yaml --yes",
    )
    review.add_argument("job", type=Path, metavar="JOB", help="the job folder, with its job.yaml")
    review.add_argument(
        "--file", metavar="FILE", help="the photo or paper looked at, by its path in the job folder"
    )
    review.add_argument("--by", metavar="NAME", help="who looked")
    review.add_argument("--on", type=_day, metavar="YYYY-MM-DD", help="on which day")
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
    review.add_argument(
        "--office",
        type=Path,
        metavar="FOLDER",
        help="the office folder; without it the nearest one above the job with a company.yaml",
    )
    review.add_argument(
        "--today",
        type=_day,
        metavar="YYYY-MM-DD",
        help="no look may be dated after this day; without it after today in the locality's time zone",
    )

    claim = add(
        "claim",
        "answer a claim from the sealed job: coverage on that day, what was built there, and its papers",
        'dossier claim my-office/2026-041-plover-lane --on 2040-03-02 --slope back --from-eave "3 ft" \\\n'
        '      --seen "a brown ring on the ceiling" --seen-on 2040-03-01 --called-by "Tore Lindahl"\n'
        "  dossier claim --blank > claim.yaml\n"
        "  dossier claim my-office/2026-041-plover-lane --take claim.yaml",
    )
    claim.add_argument("--on", metavar="YYYY-MM-DD", help="the day of the claim")
    _add_after(claim, _CLAIM_FLAGS)

    transfer = add(
        "transfer",
        "record a sale of the house: which coverages pass, until when, and the notices of it",
        'dossier transfer my-office/2026-041-plover-lane --closing 2033-06-17 --buyer "Tore Lindahl"\n'
        "  dossier transfer --blank > sale.yaml\n"
        "  dossier transfer my-office/2026-041-plover-lane --take sale.yaml",
    )
    _add_after(transfer, (*_SALE_FLAGS, *_BUYER_FLAGS))

    recover = add(
        "recover",
        "get the record back out of a handover document, into a new folder",
        "dossier recover handover.pdf recovered-record",
    )
    recover.add_argument(
        "document", type=Path, metavar="PDF", help="the document as it was handed over"
    )
    recover.add_argument(
        "folder", type=Path, metavar="NEWFOLDER", help="a folder that is not there yet"
    )
    explain = add(
        "explain", "print one rule in full: why, source, what to do", "dossier explain MAT-001"
    )
    explain.add_argument("id", metavar="ID", help="the id beside an item, such as MAT-001")
    add("schema", "print the record's form as JSON Schema", "dossier schema > record.schema.json")
    return parser


if __name__ == "__main__":
    sys.exit(main())
