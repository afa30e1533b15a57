"""Arguments into a command, and every ending into an exit code.

In: the command line. Out: an exit code. The clock and the terminal are reached here and handed down.
"""

import argparse
import getpass
import io
import logging
import socket
import sys
from collections.abc import Callable, Sequence
from datetime import date, datetime, tzinfo
from pathlib import Path

from dossier import __version__
from dossier.commands.after_arguments import add_claim, add_transfer
from dossier.errors import EXIT_CODE_MEANINGS, DossierError, ExitCode
from dossier.outputs import Holder
from dossier.values import parse_date

_CAUTION = (
    "dossier reads and prints papers. It gives no legal advice and no structural judgement; local code, "
    "the permit office, the maker's printed terms and licensed people decide."
)

_WAIT_S, _MOST_WAIT_S = 2, 86_400


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


def _last_build(given: argparse.Namespace) -> ExitCode | None:
    """Say what the last build said and return its code if nothing has changed since; else None."""
    from dossier.outputs import WORK
    from dossier.standing import build_asked, still_stands

    asked = build_asked(given.job, given.office, given.out)
    said = still_stands(given.job.resolve() / WORK, asked, given.today, system_clock)
    if said is None:
        return None
    print(said.err, file=sys.stderr)
    print(said.out)
    print(
        "Nothing has changed since; the documents were left as they are. To make them anew: --fresh"
    )
    return ExitCode(said.exit_code)


def _run(given: argparse.Namespace) -> ExitCode:
    if given.command == "build" and not (given.fresh or given.fresh_sheets):
        # Asked before anything is loaded, since a build with nothing to do should be over at once.
        code = _last_build(given)
        if code is not None:
            return code
    # Each command is imported when it is asked for, so that check never loads the layout library.
    if given.command in ("check", "build", "working", "seal"):
        from dossier.commands.show import progress_on
        from dossier.pipeline import Asked

        asked = Asked(
            job_folder=given.job,
            office_folder=given.office,
            out_folder=getattr(given, "out", None),
            today=given.today,
            fresh=given.fresh,
            fresh_sheets=getattr(given, "fresh_sheets", False),
            progress=progress_on(sys.stderr),
            holder=_holder(given),
        )
        if given.command == "seal":
            from dossier.commands.seal import run_seal

            return run_seal(asked, system_clock, given.incomplete, given.sign)
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
        from dossier.pipeline import Asked

        asked = Asked(
            given.job,
            given.office,
            today=given.today,
            progress=progress_on(sys.stderr),
            holder=_holder(given),
        )
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
            holder=_holder(given),
        )
        return run_gather(gathering, system_clock)
    if given.command in ("claim", "transfer"):
        from dossier.commands.after_arguments import run_after

        return run_after(given, system_clock, _holder(given))
    if given.command == "verify":
        from dossier.commands.verify import run_verify

        return run_verify(given.folder, given.against, given.key)
    if given.command == "key":
        from dossier.commands.seal import run_key

        return run_key(given.file)
    if given.command in ("index", "find", "lots", "due", "office"):
        return _ask_the_index(given)
    if given.command == "recover":
        from dossier.commands.recover import run_recover

        return run_recover(given.document, given.folder)
    from dossier.commands.start import run_start

    return run_start(given.folder)


def system_clock(zone: tzinfo) -> date:
    """Return today's date in a time zone, from the machine's clock."""
    return datetime.now(zone).date()


def _holder(given: argparse.Namespace) -> Holder:
    """Return who runs this command, as another run of the same job is told."""
    try:
        user = getpass.getuser()
    except (KeyError, OSError, ImportError):
        user = ""
    return Holder(
        user=user,
        host=socket.gethostname(),
        command=f"dossier {given.command}",
        since=datetime.now().astimezone().isoformat(" ", "seconds"),
        wait_s=getattr(given, "wait", 0),
        said=lambda sentence: print(f"dossier: {sentence}", file=sys.stderr, flush=True),
    )


def _seconds(text: str) -> int:
    if not text.isascii() or not text.isdigit() or int(text) > _MOST_WAIT_S:
        raise argparse.ArgumentTypeError(
            f"found “{text}”, needed whole seconds up to {_MOST_WAIT_S}"
        )
    return int(text)


def _add_wait(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--wait",
        type=_seconds,
        default=_WAIT_S,
        metavar="SECONDS",
        help=f"how long to wait where another run has the job; {_WAIT_S} where not said",
    )


def _ask_the_index(given: argparse.Namespace) -> ExitCode:
    from dossier.commands.show import progress_on, to_stderr
    from dossier.commands.where import office_of

    office = office_of(Path.cwd(), given.office)
    progress = progress_on(sys.stderr)
    if given.command == "index":
        from dossier.commands.index import run_index

        return run_index(office, given.rebuild, to_stderr, progress)
    if given.command == "find":
        from dossier.commands.find import run_find

        return run_find(office, given.words, to_stderr, progress)
    if given.command == "lots":
        from dossier.commands.lots import run_lots

        return run_lots(office, given.mark, given.csv, to_stderr, progress)
    # An office may look after roofs of several time zones; the machine's own day is the office's.
    today = given.today or datetime.now().date()
    if given.command == "due":
        from dossier.commands.due import run_due

        return run_due(office, today, given.until, given.passed, to_stderr, progress)
    from dossier.commands.office import run_office

    return run_office(office, today, given.csv, given.pdf, to_stderr, progress)


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
        (
            "seal",
            "copy the whole job into sealed/0001-closeout/, with checksums that show a later change",
            "dossier seal my-office/2026-061-birch-road --sign keys/office",
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
            "--fresh",
            action="store_true",
            help="measure and reduce every file again, using nothing kept from earlier runs",
        )
        if name in ("build", "seal"):
            _add_wait(command)
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
                help="sign it with the office's private key, made by dossier key",
            )
        elif name == "build":
            command.add_argument(
                "--out",
                type=Path,
                metavar="FOLDER",
                help="write there instead of into the job's out/; an empty or new folder, outside every job",
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

    _add_wait(gather)

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
        metavar="HANDOVER.pdf",
        help="compare with the fingerprint that this document prints and the record it carries",
    )
    verify.add_argument(
        "--key", type=Path, metavar="PUBLIC", help="check the signatures with this public key"
    )
    key = add(
        "key",
        "make the office's own key pair, to sign what it seals",
        "dossier key keys/office",
    )
    key.add_argument("file", type=Path, metavar="NEWFILE", help="the private key to write")

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

    _add_wait(review)
    _add_questions(add)

    claim = add(
        "claim",
        "answer a claim from the sealed job: coverage on that day, what was built there, and its papers",
        'dossier claim my-office/2026-041-plover-lane --on 2040-03-02 --slope back --from-eave "3 ft" \\\n'
        '      --seen "a brown ring on the ceiling" --seen-on 2040-03-01 --called-by "Tore Lindahl"\n'
        "  dossier claim --blank > claim.yaml\n"
        "  dossier claim my-office/2026-041-plover-lane --take claim.yaml",
    )
    add_claim(claim)
    _add_wait(claim)
    transfer = add(
        "transfer",
        "record a sale of the house: which coverages pass, until when, and the notices of it",
        'dossier transfer my-office/2026-041-plover-lane --closing 2033-06-17 --buyer "Tore Lindahl"\n'
        "  dossier transfer --blank > sale.yaml\n"
        "  dossier transfer my-office/2026-041-plover-lane --take sale.yaml",
    )
    add_transfer(transfer)
    _add_wait(transfer)

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


def _add_questions(add: Callable[[str, str, str], argparse.ArgumentParser]) -> None:
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
        "--until", type=_day, metavar="YYYY-MM-DD", help="only what is due up to this day"
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
        "--pdf", type=Path, metavar="FILE", help="also write them on one page, into a new file"
    )
    for command in (lots, office):
        command.add_argument("--csv", action="store_true", help="print CSV on stdout")
    for command in (due, office):
        command.add_argument(
            "--today",
            type=_day,
            metavar="YYYY-MM-DD",
            help="count from this day; without it from the machine's own today",
        )
    for command in (index, find, lots, due, office):
        command.add_argument(
            "--office",
            type=Path,
            metavar="FOLDER",
            help="the office folder; without it the nearest at or above the current one with a company.yaml",
        )


if __name__ == "__main__":
    sys.exit(main())
