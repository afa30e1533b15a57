"""`dossier find WORDS`: the jobs that carry these words, with who lives there and what was registered."""

import argparse
from typing import TYPE_CHECKING

from dossier.commands.given import Here
from dossier.commands.office_answer import add_the_office, code_of, not_read_lines, office_asked
from dossier.commands.tables import line
from dossier.errors import ExitCode
from dossier.values import listed, plural

if TYPE_CHECKING:
    from dossier.index.find import Answer, Found, Registered
    from dossier.index.people import Reach

SAYS = "find jobs by address, owner, permit, telephone, claim, product, lot or note; streets may be misspelt"
EXAMPLE = "dossier find 118 plovr lane\n  dossier find R-2026-1187"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the words, and the office."""
    command.add_argument(
        "words",
        nargs="+",
        metavar="WORD",
        help="all have to be in the job; of a word, its first three letters are enough",
    )
    add_the_office(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Print the jobs that carry every word, and return the exit code: 0 also where there is none.

    3 where a folder that could not be read may have changed the answer.
    """
    from dossier.deeds.office_index import jobs_with

    text = " ".join(given.words)
    found = jobs_with(office_asked(given), text)
    print("\n".join([found_text(found.answer, text), *not_read_lines(found.unread)]))
    return code_of(found.unread)


def found_text(answer: "Answer", text: str) -> str:
    """Return what was found as text."""
    parts = [_taken(word, near) for word, near in answer.taken]
    if not answer.total:
        parts.append(_nothing(answer, text))
        return "\n".join(parts)
    parts.append(f"{plural(answer.total, 'job')}.")
    parts += [f"\n{_job(found)}" for found in answer.found]
    if answer.total > len(answer.found):
        left = answer.total - len(answer.found)
        parts.append(f"\n{plural(left, 'more job')} not shown; one more word narrows it down.")
    return "\n".join(parts)


def _taken(word: str, near: tuple[str, ...]) -> str:
    return f"Nothing has “{line(word)}”; taken for {listed([f'“{one}”' for one in near], 'or')}."


def _nothing(answer: "Answer", text: str) -> str:
    if answer.unknown:
        unknown = listed([f"“{line(word)}”" for word in answer.unknown], "or")
        says = f"Nothing found: no job has {unknown}, nor a street with a name near it."
    elif answer.apart:
        says = "Nothing found: no job has all of these words."
    else:
        says = f"Nothing found for “{line(text)[:60]}”: a word with a letter or digit is needed."
    counts = [f"“{line(word)}” is in {plural(count, 'job')}" for word, count in answer.apart]
    return f"{says} {listed(counts)}.".replace(" .", "") if counts else says


def _job(found: "Found") -> str:
    lines = [f"{line(found.number)} · {line(found.address) or 'no address on record'}"]
    # Who lives there now comes first, then those before, the latest of them first.
    owners = sorted(found.owners, key=lambda owner: owner.till_on or "9", reverse=True)
    lines += [f"  {_owner(owner)}" for owner in owners] or ["  owner: not on record"]
    days = [
        f"permit {line(found.permit)}" if found.permit else "permit: not on record",
        f"last shingle {found.last_shingle_on or 'not on record'}",
        f"signed complete {found.completion_on or 'not on record'}",
    ]
    lines.append(f"  {', '.join(days)}")
    if found.shingles:
        lines.append(f"  shingles: {line(found.shingles)}")
    lines += [f"  {_registered(one)}" for one in found.registrations]
    for entry in found.entries:
        if entry.kind == "sold":
            continue  # The owners above say it.
        about = ", ".join(part for part in (entry.number, line(entry.says)) if part)
        lines.append(f"  {entry.on_day} {line(entry.kind)}{f': {about}' if about else ''}")
    if found.fault:
        lines.append(f"  not read whole: {line(found.fault)}")
    lines.append(f"  {line(found.folder)}{', closed and sealed' if found.is_sealed else ''}")
    return "\n".join(lines)


def _owner(owner: "Reach") -> str:
    reach = [part for part in (owner.phone, owner.email, owner.mailing_address) if part]
    who = line(", ".join([owner.name or "name not on record", *reach]))
    bought = f", bought {owner.from_on}" if owner.from_on else ""
    if owner.till_on:
        return f"earlier owner: {who}{bought}, sold {owner.till_on}"
    return f"owner: {who}{bought}"


def _registered(one: "Registered") -> str:
    what = line(f"{one.level}, {one.sheet}")
    if one.registered_on:
        number = f", confirmation {line(one.confirmation)}" if one.confirmation else ""
        return f"registered {one.registered_on}: {what}{number}"
    due = f", last day {one.due_on}" if one.due_on else ""
    return f"no registration on record: {what}{due}"
