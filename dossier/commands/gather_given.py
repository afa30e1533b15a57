"""`dossier gather JOB SOURCE…` on the command line: its words, and the call of what it does."""

import argparse
import sys
from pathlib import Path

from dossier.commands.given import Here, add_job, add_office, add_today, add_wait, new_place
from dossier.commands.show import progress_on
from dossier.errors import ExitCode

SAYS = "file photos and papers out of folders, zips and files; or a supplier's ticket"
EXAMPLE = (
    "dossier gather my-office/2026-061-birch-road crew-phone.zip mail-attachments --sheet look.pdf\n"
    "  dossier gather my-office/2026-061-birch-road ticket.csv --supplier fjordgate"
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job, the sources, and what to do with them."""
    add_job(command)
    command.add_argument(
        "sources", type=Path, nargs="*", metavar="SOURCE", help="a folder, a zip or a file"
    )
    command.add_argument(
        "--yes", action="store_true", help="file it as proposed; without it nothing is filed"
    )
    command.add_argument(
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
        command.add_argument(option, type=kind, metavar=metavar, help=says)
    add_office(command)
    command.add_argument(
        "--undo", action="store_true", help="take the last gather of this job back"
    )
    command.add_argument(
        "--from",
        dest="received_from",
        metavar="WHO",
        help="who sent the photos whose camera time is lost, such as “crew phone 2”",
    )
    command.add_argument(
        "--supplier", metavar="NAME", help="read one ticket by suppliers/NAME.yaml of the office"
    )
    add_today(
        command,
        "the day it is received; without it today in the locality's time zone",
    )

    add_wait(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Propose, file or undo."""
    from dossier.commands.gather import Gathering, run_gather

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
        holder=here.holder,
    )
    return run_gather(gathering, here.clock)
