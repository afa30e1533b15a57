"""How the index grows: rebuilt a job against its YAML, queries, commands, one job, memory, at five sizes.

In: nothing; offices are generated in a temporary folder. Out: a table for `docs/speed.md`. Run by hand:
`python -m tests.bench.index_bench [SIZE…]`. It is no test, since times depend on the machine; the ratio of a
rebuild of jobs that have a card is to reading and parsing the same files with PyYAML's C loader in the same run,
both in processor time, since a machine seldom does one thing only; commands are in seconds by the clock, the best
of three.
"""

import os
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import yaml

from dossier.index.answer import MOST_LOOKED_AT
from dossier.index.card import FILE_NAME
from dossier.index.due import due_list
from dossier.index.figures import office_figures
from dossier.index.find import find_jobs
from dossier.index.keep import update_one
from dossier.index.lots import find_lots
from dossier.index.rows import leave_card
from dossier.index.scan import job_folders
from dossier.index.sheets import Sheets
from dossier.index.store import WORK, index_path, open_index, replace
from tests.bench.office import TODAY, make_office

SIZES = (100, 1_000, 10_000, 50_000, 100_000)
WORDS = (
    "fenwright",
    "lane",
    "plovr",
    "385 tarnstome",
    "marit",
    "R-2012",
    "brown ring",
    "nosuchword",
    "a",
    "2 plover road halvorsted",
)
_ROUNDS = 5


def main(sizes: tuple[int, ...]) -> None:
    """Print one row a size, and the slowest query of each kind below it."""
    heads = (
        *(
            "jobs",
            "index MB",
            "no card CPU ms/job",
            "rebuild CPU ms/job",
            "yaml CPU ms/job",
            "ratio",
            "one job ms",
            "open ms",
        ),
        *("find ms", "lots ms", "due ms", "find cmd s", "lots cmd s", "due cmd s", "office cmd s"),
        *("index cmd s", "MiB"),
    )
    print("| " + " | ".join(heads) + " |")
    print("|" + "---|" * len(heads))
    for size in sizes:
        with tempfile.TemporaryDirectory(
            prefix="dossier-bench-", ignore_cleanup_errors=True
        ) as folder:
            print("| " + " | ".join(measure(Path(folder) / "office", size)) + " |", flush=True)


def measure(office: Path, size: int) -> list[str]:
    """Return the cells of one size."""
    make_office(office, size)
    folders = list(job_folders(office))
    yaml_s = parse_all(office, folders)
    _, unbuilt_cpu_s, _ = command(office, "index", "--rebuild")
    sheets = Sheets(office)
    for folder in folders:
        leave_card(office / folder, sheets)
    replace(index_path(office))
    _, rebuild_cpu_s, rebuild_mib = command(office, "index", "--rebuild")
    again_s, _, again_mib = command(office, "index")
    start_s, start_cpu_s, _ = command(office, None)
    rebuild_s = rebuild_cpu_s - start_cpu_s
    took = time.perf_counter()
    connection = open_index(office).connection
    open_ms = (time.perf_counter() - took) * 1e3
    one_ms = best(lambda: after_a_build(connection, office, folders[size // 2]))
    find_ms = {word: best(lambda word=word: find_jobs(connection, word)) for word in WORDS}
    mark = connection.execute("SELECT mark FROM lot WHERE mark LIKE '0001%' LIMIT 1").fetchone()
    lots_ms = best(lambda: find_lots(connection, mark[0] if mark else "0001000"))
    due_ms = best(lambda: due_list(connection, TODAY, date(2026, 12, 31)))
    figures_ms = best(lambda: office_figures(connection, TODAY))
    connection.close()
    day = ("--today", TODAY.isoformat())
    commands = [
        command(office, "find", "plovr", "lane"),
        command(office, "lots", mark[0] if mark else "0001000"),
        command(office, "due", *day),
        command(office, "office", *day),
    ]
    megabytes = index_path(office).stat().st_size / 1e6
    slowest = max(find_ms, key=lambda word: find_ms[word])
    print(
        f"{size:,}: slowest find “{slowest}” {find_ms[slowest]:.1f} ms; figures {figures_ms:.0f} ms; "
        f"python and imports {start_s:.2f} s; looked at before each answer: {size <= MOST_LOOKED_AT}",
        file=sys.stderr,
    )
    memory = max(rebuild_mib, again_mib, *(mib for _, _, mib in commands))
    return [
        f"{size:,}",
        f"{megabytes:.1f}",
        f"{(unbuilt_cpu_s - start_cpu_s) / size * 1e3:.2f}",
        f"{rebuild_s / size * 1e3:.2f}",
        f"{yaml_s / size * 1e3:.2f}",
        f"{rebuild_s / yaml_s:.1f}",
        f"{one_ms:.1f}",
        f"{open_ms:.1f}",
        f"{find_ms[slowest]:.1f}",
        f"{lots_ms:.1f}",
        f"{due_ms:.1f}",
        *(f"{seconds:.2f}" for seconds, _, _ in commands),
        f"{again_s:.2f}",
        f"{memory:.0f}",
    ]


def after_a_build(connection: sqlite3.Connection, office: Path, folder: str) -> None:
    """Read one record, leave its card, and bring the index up to it."""
    (office / folder / WORK / FILE_NAME).unlink()
    leave_card(office / folder, Sheets(office))
    update_one(connection, office, folder)


def parse_all(office: Path, folders: list[str]) -> float:
    """Return the processor time that reading and parsing every record and entry takes with the C loader."""
    began = time.process_time()
    for folder in folders:
        job = office / folder
        yaml.load((job / "job.yaml").read_bytes(), Loader=yaml.CSafeLoader)
        sealed = job / "sealed"
        if sealed.is_dir():
            for name in os.listdir(sealed):  # noqa: PTH208
                entry = sealed / name / "data" / "entry.yaml"
                if entry.is_file():
                    yaml.load(entry.read_bytes(), Loader=yaml.CSafeLoader)
    return time.process_time() - began


def command(office: Path, *arguments: str | None) -> tuple[float, float, float]:
    """Return seconds by the clock, processor seconds and MiB of one command in a process of its own.

    The best of three, but for a rebuild, which runs once.
    None: only the interpreter and what `index` loads.
    """
    if arguments[0] is None:
        line = [sys.executable, "-c", "import dossier.cli, dossier.commands.index"]
    else:
        words = [word for word in arguments if word is not None]
        line = [sys.executable, "-m", "dossier.cli", *words, "--office", str(office)]
    rounds = 1 if "--rebuild" in line else 3
    found: list[tuple[float, float, float]] = []
    for _ in range(rounds):
        began = time.perf_counter()
        with subprocess.Popen(
            line, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        ) as process:
            _, _, usage = os.wait4(process.pid, 0)
            process.returncode = 0
        cpu_s = usage.ru_utime + usage.ru_stime
        found.append((time.perf_counter() - began, cpu_s, usage.ru_maxrss / 1024))
    return min(found)[0], min(cpu for _, cpu, _ in found), max(mib for _, _, mib in found)


def best(work: Callable[[], object]) -> float:
    """Return the milliseconds of the quickest of five rounds."""
    times = []
    for _ in range(_ROUNDS):
        began = time.perf_counter()
        work()
        times.append(time.perf_counter() - began)
    return min(times) * 1e3


if __name__ == "__main__":
    if sqlite3.sqlite_version_info < (3, 9):
        sys.exit("SQLite 3.9 or later is needed, for FTS5.")
    main(tuple(int(word) for word in sys.argv[1:]) or SIZES)
