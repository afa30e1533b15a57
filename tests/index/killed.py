"""Scans of an office in a process of its own that is killed at a moment; run as a program by a test.

In: the office folder, and after how many jobs to die. Out: nothing; the process is gone. Must not tidy up.
"""

import os
import signal
import sys
from pathlib import Path

from dossier.index import keep
from dossier.index.store import open_index


def main(office: Path, after: int) -> None:
    """Scan an office anew and die when so many jobs were written, in the middle of a transaction."""
    written = 0
    write = keep.write

    def write_and_die(*given: object) -> None:
        nonlocal written
        write(*given)  # type: ignore[arg-type]
        written += 1
        if written == after:
            os.kill(os.getpid(), signal.SIGKILL)

    keep.write = write_and_die  # type: ignore[assignment]
    keep.GROUP = 7
    keep.update_all(open_index(office).connection, office, anew=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
