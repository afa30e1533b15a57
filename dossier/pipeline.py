"""A job folder through every room, in order: check and build.

In: a job folder and what is asked of it. Out: a `Checked`, and for build the documents on disk. Read this file to
see what the program does; each step is one call and logs its number.
"""

import logging

from dossier.archive.corrected import with_what_came_after
from dossier.assess.assess import assess
from dossier.case.as_built import as_built_differs
from dossier.case.read import fill_in, read_all
from dossier.disk.outputs import WORK, job_lock
from dossier.disk.standing import LastBuild, build_asked
from dossier.evidence import list_files
from dossier.evidence.logo import logo_fault
from dossier.gather.filing import heal
from dossier.punchlist import PunchList
from dossier.rules.book import punch_list
from dossier.steps.asked import Asked, job_folder_of
from dossier.steps.building import Built, made_from, write_documents
from dossier.steps.checking import Checked, Unreadable, measured, run_of, sources_of
from dossier.terms.place import need_office
from dossier.values import Clock

log = logging.getLogger("dossier")


def check(asked: Asked, clock: Clock) -> Checked | Unreadable:
    """Return the punch list of a job folder, and everything it was found from.

    Raises DossierError where the folder or its office folder cannot be used at all; whatever a person
    has to mend in a file is an item.
    """
    folder = job_folder_of(asked.job_folder)
    office = need_office(folder, asked.office_folder)
    log.info("step 1 of 6: reading the record in %s, the office in %s", folder, office)
    sources = sources_of(asked, folder, office)
    record, sheets, since = sources.record, sources.sheets, sources.since
    reads = read_all(record, sheets, sources.entries)
    run = run_of(asked, sources, reads, clock)

    log.info("step 2 of 6: filling in what is said once elsewhere")
    case, unread = fill_in(reads, list_files(record, "photos"), list_files(record, "papers"))
    number = reads.job.model.job.number if reads.job.model else folder.name
    if case is None:
        return Unreadable(number, run, PunchList.of(unread), since)
    if since:
        case = with_what_came_after(case, since, office)

    log.info("step 3 of 6: measuring %s files", len(case.photos) + len(case.papers))
    facts = measured(case, sources, run)

    log.info("step 4 of 6: working out what follows")
    assessment = assess(case, facts, run)

    log.info("step 5 of 6: going through the rule book")
    items = punch_list(case, facts, assessment, run)
    differs = () if since else as_built_differs(case, sheets, folder)
    logo = logo_fault(office, case.company.logo)
    return Checked(number, run, sheets, case, facts, assessment, items, differs, logo, since)


def build(asked: Asked, clock: Clock) -> Built:
    """Write the documents of a job folder whole, or leave what stood there before.

    Raises DossierError where another run has the job, the layout library is missing, or an output
    cannot be written.
    """
    folder = job_folder_of(asked.job_folder)
    with job_lock(folder / WORK, asked.holder):
        heal(folder)
        reads = made_from(folder, need_office(folder, asked.office_folder))
        told = build_asked(folder, asked.office_folder, asked.out_folder)
        last = LastBuild(folder / WORK, told, reads)
        checked = check(asked, clock)
        if not checked.readable:
            return Built(checked, (), last)

        log.info("step 6 of 6: printing")
        files, kept = write_documents(checked, folder, asked.fresh_sheets)
        return Built(checked, tuple(files), last, kept)
