"""The few exceptions that stop a run, each with an exit code and what to do about it.

In: what was found and the next step. Out: classes. Must not know what a job, a rule or a document is. Everything
that a person has to mend in a record is an item on the punch list and never an exception; anything that is
neither is our own bug and keeps its traceback.
"""

from enum import IntEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dossier.said import Said


class ExitCode(IntEnum):
    """The promise made to scripts: what each exit code of the command line means."""

    NOTHING_HELD_UP = 0
    ITEMS_HOLD = 1
    WRONG_COMMAND = 2
    UNREADABLE_INPUT = 3
    CANNOT_WRITE = 4
    VERIFY_DIFFERS = 5
    JOB_TAKEN = 6
    OUR_BUG = 70
    INTERRUPTED = 130


EXIT_CODE_MEANINGS: dict[ExitCode, str] = {
    ExitCode.NOTHING_HELD_UP: "done, and nothing is held up",
    ExitCode.ITEMS_HOLD: "done, and at least one item holds something up",
    ExitCode.WRONG_COMMAND: "the command itself was wrong: an unknown word, a missing argument",
    ExitCode.UNREADABLE_INPUT: (
        "the record, a sheet it names or a document cannot be read, and nothing was built; or index, find, lots, "
        "due or office answered, and a folder that it names could not be read and may change the answer"
    ),
    ExitCode.CANNOT_WRITE: "an output could not be written; what stood there before still stands",
    ExitCode.VERIFY_DIFFERS: "verify found a changed, missing or added file",
    ExitCode.JOB_TAKEN: "another run has this job in hand",
    ExitCode.OUR_BUG: "a fault in dossier itself; the traceback is for its authors",
    ExitCode.INTERRUPTED: "stopped by the person at the keyboard; nothing is half-written",
}


class DossierError(Exception):
    """A reason this run cannot go on, said as a sentence, with what to do next."""

    exit_code: ExitCode = ExitCode.UNREADABLE_INPUT

    def __init__(self, message: "Said | str", remedy: "Said | str") -> None:
        """message: what was found and what was needed. remedy: the next step, and who takes it."""
        self.message, self.remedy = str(message), str(remedy)
        super().__init__(self.message)

    def __str__(self) -> str:
        return f"{self.message} {self.remedy}"


class WrongCommand(DossierError):
    """The command line asks for something that does not exist or does not fit."""

    exit_code = ExitCode.WRONG_COMMAND


class UnreadableInput(DossierError):
    """A folder or file that the run stands on cannot be read."""

    exit_code = ExitCode.UNREADABLE_INPUT


class CannotWrite(DossierError):
    """An output cannot be written where it was asked for."""

    exit_code = ExitCode.CANNOT_WRITE


class JobTaken(DossierError):
    """Another run has this job in hand at this moment."""

    exit_code = ExitCode.JOB_TAKEN


LET_IT_END = "Let the copying or editing end, then build again."


def changed_meanwhile(file: str) -> str:
    """Return the sentence on a file that is no longer what was judged."""
    return f"{file} was changed or taken away while the documents were being made."


class MissingLibraries(DossierError):
    """The system libraries that lay out documents are not installed."""

    exit_code = ExitCode.CANNOT_WRITE


class PageFault(RuntimeError):
    """A page that cannot be laid out or made to conform: our bug, unless an office's own template made it."""
