"""`dossier transfer JOB`: which coverages pass at a sale, until when, and the papers of it."""

import argparse

from dossier.commands.after import Flags, add_entry, blank_wanted, show_then_seal, told
from dossier.commands.given import Here
from dossier.errors import ExitCode
from dossier.words import EntryKind

SAYS = "record a sale of the house: which coverages pass, until when, and the notices of it"
EXAMPLE = (
    "dossier transfer my-office/2026-041-plover-lane --closing 2033-06-17 --today 2033-06-20 \\\n"
    '      --buyer "Tore Lindahl"\n'
    "  dossier transfer --blank > sale.yaml\n"
    "  dossier transfer my-office/2026-041-plover-lane --take sale.yaml"
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


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add what is told of the sale and of the buyer."""
    add_entry(command, (*_SALE, *_BUYER))


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Show a sale with what would be written, or seal it beside the job; print by when to give notice."""
    if blank_wanted(given, "sale.yaml"):
        return ExitCode.NOTHING_HELD_UP
    buyer = told(given, _BUYER)
    group = {**told(given, _SALE), **({"buyer": buyer} if buyer else {})}
    return show_then_seal(given, here, EntryKind.SOLD, {"on": given.closing}, group)
