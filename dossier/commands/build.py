"""`dossier build JOB`: the punch list, the handover and the registration packet, written whole."""

from dossier.commands.check import code_of, notes
from dossier.commands.show import items_text, summary, to_stderr
from dossier.errors import ExitCode
from dossier.index.answer import keep_current
from dossier.pipeline import Asked, Clock, build
from dossier.values import listed


def run_build(asked: Asked, clock: Clock) -> ExitCode:
    """Write the documents, print where they are, and return the exit code as `check` does."""
    built = build(asked, clock)
    checked = built.checked
    to_stderr(f"Office folder: {checked.run.office_folder}")
    for line in notes(checked):
        to_stderr(line)
    if not checked.readable:
        print(items_text(checked.punch_list))
        print(summary(checked.number, checked.punch_list, checked.readable))
        print("Nothing was built; what stood in the output folder before is still there.")
        return code_of(checked)
    keep_current(checked.run.office_folder, checked.run.job_folder, to_stderr)
    print(summary(checked.number, checked.punch_list, checked.readable))
    print(f"Written to {checked.run.out_folder}:")
    for name in built.files:
        print(f"  {name}")
    if built.kept_as_built:
        print(
            f"as-built/ was left as it is: {listed(checked.as_built_differs)} "
            f"{'says' if len(checked.as_built_differs) == 1 else 'say'} something else today, and these "
            "documents were made from today's sheets. To copy today's into as-built/ as well: --fresh-sheets"
        )
    return code_of(checked)
