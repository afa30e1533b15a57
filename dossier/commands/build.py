"""`dossier build JOB`: the punch list, the handover and the registration packet, written whole."""

from dossier.commands.check import code_of, notes
from dossier.commands.show import items_text, summary, to_stderr
from dossier.disk.standing import Said
from dossier.errors import ExitCode
from dossier.index.answer import keep_current
from dossier.pipeline import Asked, Built, build
from dossier.values import Clock, listed


def run_build(asked: Asked, clock: Clock) -> ExitCode:
    """Write the documents, print where they are, and return the exit code as `check` does."""
    built = build(asked, clock)
    checked, said = built.checked, _said(built)
    to_stderr(said.err)
    print(said.out)
    if checked.readable:
        # The folder of the record is the sealed one where a job is sealed; the job is around it.
        keep_current(checked.run.office_folder, checked.run.work_folder.parent, to_stderr)
    built.remember(said)
    return ExitCode(said.exit_code)


def _said(built: Built) -> Said:
    checked = built.checked
    err = [f"Office folder: {checked.run.office_folder}", *notes(checked)]
    out = [summary(checked.number, checked.punch_list, checked.readable)]
    if not checked.readable:
        out.insert(0, items_text(checked.punch_list))
        out.append("Nothing was built; what stood in the output folder before is still there.")
    else:
        out.append(f"Written to {checked.run.out_folder}:")
        out += [f"  {name}" for name in built.files]
    if built.kept_as_built:
        out.append(
            f"as-built/ was left as it is: {listed(checked.as_built_differs)} "
            f"{'says' if len(checked.as_built_differs) == 1 else 'say'} something else today, and these "
            "documents were made from today's sheets. To copy today's into as-built/ as well: --fresh-sheets"
        )
    return Said("\n".join(out), "\n".join(err), int(code_of(checked)))
