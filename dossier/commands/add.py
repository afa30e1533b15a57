"""`dossier add KIND JOB`: one later entry beside a sealed job, shown whole before it is sealed."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from dossier.commands.after import LIST, AfterAsked, show_then_seal
from dossier.deeds.adding import field_named, fields_saying, prepare_addition
from dossier.deeds.sealed_job import SealedJob
from dossier.errors import ExitCode, UnreadableInput, WrongCommand
from dossier.record.entry import FILES
from dossier.values import Clock, clip, plural
from dossier.words import EntryKind

_MOST_FIELDS = 8


def run_add(asked: AfterAsked, clock: Clock, kind: EntryKind, files: tuple[Path, ...]) -> ExitCode:
    """Show one entry, or seal it beside the job with its slip. files: named on the command line."""
    job, found = asked.job_folder, {}
    for given in files:
        # A name may be that of a file in the job folder, as check prints it.
        path = given if given.exists() or given.is_absolute() else job / given
        if path.name in found:
            raise WrongCommand(
                f"Two of the files have the name {clip(path.name)}.", "Give each a name of its own."
            )
        found[path.name] = path
    asked = replace(asked, attach=found)
    if kind is EntryKind.CORRECTION:
        return show_then_seal(asked, clock, kind, prepare_addition, _field_found)
    return show_then_seal(replace(asked, group=_named(asked, kind)), clock, kind, prepare_addition)


def _named(asked: AfterAsked, kind: EntryKind) -> Mapping[str, object]:
    """Return the fields of the entry's group with the files that were named."""
    names = [f"{FILES}{name}" for name in asked.attach]
    if kind in (EntryKind.LATE_PAPER, EntryKind.LATE_PHOTO):
        return {LIST: [{**asked.group, "file": name} for name in names]} if names else {}
    if not names:
        return asked.group
    if kind is EntryKind.REGISTRATION_CONFIRMED:
        return {**asked.group, "certificate_file": names[0]}
    field = "papers" if kind is EntryKind.MAKERS_INSPECTION else "photos"
    return {**asked.group, field: names}


def _field_found(asked: AfterAsked, job: SealedJob) -> AfterAsked:
    """Return what was asked with the field by its path in numbers, and the paper sealed or attached."""
    if asked.take is not None:
        return asked
    group = dict(asked.group)
    field, was = str(group.get("field", "")), str(group.get("was", ""))
    group["field"] = field_named(job, field).dotted if field else _only_field_saying(job, was)
    attach: dict[str, Path] = {}
    paper = str(group.get("paper", ""))
    filed = {*(one.file for one in job.case.papers), *(one.file for one in job.case.photos)}
    if paper and paper not in filed:
        path = Path(paper)
        if path.exists():
            attach[path.name] = path
            group["paper"] = f"{FILES}{path.name}"
    return replace(asked, group=group, attach=attach)


def _only_field_saying(job: SealedJob, was: str) -> str:
    """Return the one field in which this stands. Raises WrongCommand where it is not just one."""
    found = fields_saying(job, was) if was else ()
    if len(found) == 1:
        return found[0].dotted
    if not found:
        what = f"“{clip(was)}” stands in no field of the record." if was else "No field is named."
        raise UnreadableInput(
            what,
            "Name the field with --field, such as slopes.front.pitch, and what stands there with --was.",
        )
    shown = "\n".join(f"  --field {one.dotted}   {one.words}" for one in found[:_MOST_FIELDS])
    more = f"\n  and {len(found) - _MOST_FIELDS} more" if len(found) > _MOST_FIELDS else ""
    raise WrongCommand(
        f"“{clip(was)}” stands in {plural(len(found), 'field')}:\n{shown}{more}",
        "Say which with --field.",
    )
