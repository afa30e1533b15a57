"""Arguments into a command, and every ending into an exit code.

In: the command line. Out: an exit code. The clock and the terminal are reached here and handed down.
"""

import argparse
import getpass
import io
import logging
import socket
import sys
from collections.abc import Sequence
from datetime import date, datetime, tzinfo
from pathlib import Path

from dossier.arguments import parser
from dossier.disk.outputs import Holder
from dossier.errors import DossierError, ExitCode


def main(arguments: Sequence[str] | None = None) -> int:
    """Return the exit code of one command line; `arguments` without the program's name."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal that is not UTF-8 shows a code for a quotation mark it lacks; nothing is lost.
            stream.reconfigure(errors="backslashreplace")
    logging.basicConfig(format="%(message)s", stream=sys.stderr)
    # What is amiss with a PDF is said in sentences of ours; its reader's own remarks name byte offsets.
    logging.getLogger("pypdf").setLevel(logging.CRITICAL + 1)
    given = parser().parse_args(arguments)
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
    from dossier.disk.outputs import WORK
    from dossier.disk.standing import build_asked, still_stands

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
        from dossier.steps.asked import Asked

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

            return run_seal(
                asked, system_clock, given.incomplete, given.sign, unsigned=given.unsigned
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
        from dossier.steps.asked import Asked

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
            without_slopes=given.without_slopes,
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
    if given.command == "add":
        from dossier.commands.add_arguments import run_added

        return run_added(given, system_clock, _holder(given))
    if given.command in ("claim", "transfer"):
        from dossier.commands.after_arguments import run_after

        return run_after(given, system_clock, _holder(given))
    if given.command == "verify":
        from dossier.commands.verify import run_verify

        return run_verify(given.folder, given.against, given.key, given.digest)
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


if __name__ == "__main__":
    sys.exit(main())
