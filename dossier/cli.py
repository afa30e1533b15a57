"""Arguments into a command, and every ending into an exit code.

In: the command line. Out: an exit code. The clock and the terminal are reached here and handed down.
"""

import argparse
import getpass
import io
import logging
import socket
import sys
from collections.abc import Mapping, Sequence
from datetime import date, datetime, tzinfo

from dossier import __version__
from dossier.commands import (
    add,
    answer,
    build,
    check,
    claim,
    due,
    explain,
    find,
    gather,
    index,
    key,
    lots,
    office,
    read,
    recover,
    review,
    roof,
    schema,
    seal,
    start,
    transfer,
    verify,
    working,
)
from dossier.commands.given import Command, Here
from dossier.disk.outputs import Holder
from dossier.errors import EXIT_CODE_MEANINGS, DossierError, ExitCode

COMMANDS: Mapping[str, Command] = {
    "start": start,
    "check": check,
    "answer": answer,
    "build": build,
    "working": working,
    "seal": seal,
    "roof": roof,
    "gather": gather,
    "read": read,
    "review": review,
    "verify": verify,
    "key": key,
    "add": add,
    "claim": claim,
    "transfer": transfer,
    "index": index,
    "find": find,
    "lots": lots,
    "due": due,
    "office": office,
    "recover": recover,
    "explain": explain,
    "schema": schema,
}
"""In the order in which an office meets them."""

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
    for name, command in COMMANDS.items():
        command.add_arguments(
            commands.add_parser(
                name,
                help=command.SAYS,
                description=f"{command.SAYS[0].upper()}{command.SAYS[1:]}.",
                epilog=f"Example:\n  {command.EXAMPLE}",
                formatter_class=argparse.RawDescriptionHelpFormatter,
            )
        )
    return whole


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
        return int(COMMANDS[given.command].run(given, _here(given)))
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


def _here(given: argparse.Namespace) -> Here:
    return Here(system_clock, datetime.now().date(), _holder(given))


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


if __name__ == "__main__":
    sys.exit(main())
