"""Every import against the tables of rooms in DEVELOPERS.md; and what a check must not load."""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "dossier"
OURS = PACKAGE.name
CHILDREN = ("dossier/alike/child.py", "dossier/evidence/text_child.py")
NOTHING, EVERY = "nothing of ours", "every room"


@dataclass(frozen=True)
class Import:
    """One import of ours: the file and line it stands on, and the room it leads to.

    room: an empty text for the package itself, whose few names belong to nobody. inner: the room or module in
    that room, an empty text where the import names none.
    """

    file: str
    line: int
    room: str
    inner: str = ""


COLUMNS = ("room", "turns", "into", "may import")
COLUMNS_OF_COMPOSE = ("room of compose", "prints", "may import")


def rooms_in(text: str, columns: tuple[str, ...] = COLUMNS) -> dict[str, frozenset[str] | None]:
    """Return each room of the Markdown table with these columns, with the rooms it may import.

    None stands for every room. Raises ValueError where the table is not there or not whole.
    """
    head = f"| {' | '.join(columns)} |\n"
    table = text.partition(head)[2].partition("\n\n")[0]
    rows = [
        [cell.strip() for cell in line.strip().strip("|").split("|")]
        for line in (head + table).splitlines()
    ]
    if len(rows) < 3:
        raise ValueError(f"needed a table: {', '.join(columns)}")
    rooms: dict[str, frozenset[str] | None] = {}
    for row in rows[2:]:
        name = re.fullmatch(r"`(\w+)(?:\.py|/)`", row[0])
        if name is None or len(row) != len(columns) or name[1] in rooms:
            raise ValueError(f"needed one room in {len(columns)} columns, found {row}")
        allowed = row[-1]
        if allowed == EVERY:
            rooms[name[1]] = None
        else:
            parts = allowed.split(", ")
            rooms[name[1]] = frozenset() if allowed == NOTHING else frozenset(parts)
    for name_, may in rooms.items():
        if may is not None and may - set(rooms):
            raise ValueError(f"{name_} may import {sorted(may - set(rooms))}, which are no rooms")
    return rooms


def rooms_on_disk(package: Path) -> set[str]:
    """Return the modules and packages that lie directly in the package."""
    modules = {path.stem for path in package.glob("*.py")} - {"__init__", "__main__"}
    return modules | {path.parent.name for path in package.glob("*/__init__.py")}


def imports_in(source: str, file: str) -> Iterator[Import]:
    """Yield every import of ours in a module's source, wherever in it the import stands.

    file: path from the package's parent, such as dossier/record/job.py; it places relative imports.
    """
    here = list(Path(file).with_suffix("").parts)
    inside = here[:-1]
    for node in ast.walk(ast.parse(source)):
        targets: list[list[str]] = []
        if isinstance(node, ast.Import):
            targets = [alias.name.split(".") for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = inside[: len(inside) - node.level + 1] if node.level else []
            module = base + (node.module.split(".") if node.module else [])
            targets = [[*module, alias.name] for alias in node.names]
        elif isinstance(node, ast.Call) and node.args:
            called = ast.unparse(node.func)
            given = node.args[0]
            if called in ("__import__", "import_module", "importlib.import_module"):
                # A name that is only known at run time cannot be held to the table.
                constant = isinstance(given, ast.Constant)
                targets = [str(given.value).split(".") if constant else [OURS, "?"]]
        for parts in targets:
            if parts[0] == OURS:
                room, inner = [*parts[1:3], "", ""][:2]
                yield Import(file, getattr(node, "lineno", 0), room, inner)


def forbidden(
    imports: Iterator[Import], rooms: Mapping[str, frozenset[str] | None], names_of_ours: set[str]
) -> list[str]:
    """Return a sentence for every import that the table does not allow."""
    found = []
    for one in imports:
        room = Path(Path(one.file).parts[1]).stem
        allowed = rooms[room]
        if one.room in names_of_ours or one.room == room or allowed is None:
            continue
        if one.room not in allowed:
            found.append(f"{one.file} line {one.line}: {room} may not import {one.room}")
    return found


def forbidden_in_compose(source: str, file: str) -> list[str]:
    """Return a sentence for every import of another room of compose that its table does not allow."""
    within = (
        Import(one.file.removeprefix(f"{OURS}/"), one.line, one.inner)
        for one in imports_in(source, file)
        if one.room == "compose"
    )
    return forbidden(within, COMPOSE, set())


TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TABLE = rooms_in(TEXT)
COMPOSE = rooms_in(TEXT, COLUMNS_OF_COMPOSE)
# The package's own names, such as its version, are told to everyone.
ROOT_NAMES = {"", "__version__", "RECORD_VERSION"}
MODULES = sorted(path.relative_to(ROOT).as_posix() for path in PACKAGE.rglob("*.py"))


def test_every_room_of_the_table_is_there_and_no_other() -> None:
    assert rooms_on_disk(PACKAGE) == set(TABLE)


@pytest.mark.parametrize(
    "file", [file for file in MODULES if file.count("/") > 1 or "__" not in file]
)
def test_imports_obey_the_table(file: str) -> None:
    source = (ROOT / file).read_text(encoding="utf-8")
    assert forbidden(imports_in(source, file), TABLE, ROOT_NAMES) == []


def test_every_room_of_compose_is_in_its_table_and_no_other() -> None:
    assert rooms_on_disk(PACKAGE / "compose") == set(COMPOSE)


@pytest.mark.parametrize("file", [file for file in MODULES if "/compose/" in file])
def test_imports_within_compose_obey_their_table(file: str) -> None:
    assert forbidden_in_compose((ROOT / file).read_text(encoding="utf-8"), file) == []


@pytest.mark.parametrize(
    ("file", "source", "room"),
    [
        ("parts/layers.py", "from dossier.compose.drawings.time_axis import x\n", "drawings"),
        ("parts/layers.py", "from ..handover import handover\n", "handover"),
        ("drawings/roof_plan.py", "from dossier.compose import packet\n", "packet"),
        ("packet/twins.py", "from dossier.compose.punch_list.twins import x\n", "punch_list"),
    ],
)
def test_a_forbidden_import_within_compose_is_found(file: str, source: str, room: str) -> None:
    [found] = forbidden_in_compose(source, f"dossier/compose/{file}")
    assert found.endswith(f"{Path(file).parent} may not import {room}")


def test_the_package_itself_imports_nothing_of_ours() -> None:
    file = f"{OURS}/__init__.py"
    assert list(imports_in((ROOT / file).read_text(encoding="utf-8"), file)) == []


def test_the_reader_of_imports_sees_the_ones_that_are_there() -> None:
    # Were it to see none, every test above would pass.
    seen = [
        one.room
        for file in MODULES
        for one in imports_in((ROOT / file).read_text(encoding="utf-8"), file)
    ]
    assert len(seen) > 100
    assert set(TABLE) - {"cli"} <= {*seen, "cli", "pipeline"}


@pytest.mark.parametrize(
    ("file", "source", "room"),
    [
        ("dossier/values.py", "from dossier.record.job import Job\n", "record"),
        ("dossier/values.py", "from dossier import record\n", "record"),
        ("dossier/values.py", "import dossier.record.job as j\n", "record"),
        ("dossier/values.py", "from . import record\n", "record"),
        ("dossier/record/job.py", "def f():\n    from dossier.rules import book\n", "rules"),
        (
            "dossier/record/job.py",
            "class A:\n    def f(self):\n        import dossier.rules\n",
            "rules",
        ),
        ("dossier/record/job.py", "from ..rules.book import rule_book\n", "rules"),
        ("dossier/record/job.py", "from .. import rules\n", "rules"),
        ("dossier/record/job.py", "if TYPE_CHECKING:\n    from ..case.case import Case\n", "case"),
        (
            "dossier/record/job.py",
            "import importlib\nimportlib.import_module('dossier.rules')\n",
            "rules",
        ),
        ("dossier/record/job.py", "x = __import__(name)\n", "?"),
        ("dossier/record/job.py", "from dossier import no_such_room\n", "no_such_room"),
        ("dossier/trade/roof.py", "from dossier.record.job import Job\n", "record"),
        ("dossier/rules/deck.py", "from dossier.render.engine import x\n", "render"),
    ],
)
def test_a_forbidden_import_is_found(file: str, source: str, room: str) -> None:
    importer = Path(Path(file).parts[1]).stem
    found = forbidden(imports_in(source, file), TABLE, ROOT_NAMES)
    assert [sentence.partition(": ")[2] for sentence in found] == [
        f"{importer} may not import {room}"
    ]


@pytest.mark.parametrize(
    ("file", "source"),
    [
        ("dossier/record/job.py", "from dossier.values import clip\n"),
        ("dossier/record/job.py", "from ..values import clip\nfrom .people import Owner\n"),
        ("dossier/record/job.py", "from dossier import __version__\nimport yaml\n"),
        ("dossier/pipeline.py", "from dossier.render.engine import x\n"),
        ("dossier/record/__init__.py", "from .job import Job\n"),
        ("dossier/record/job.py", "from dossierish import rules\n"),
    ],
)
def test_an_allowed_import_is_let_through(file: str, source: str) -> None:
    assert forbidden(imports_in(source, file), TABLE, ROOT_NAMES) == []


@pytest.mark.parametrize(
    "table",
    [
        "# Rooms\n",
        "## Rooms\n\n| room | may import |\n|---|---|\n| `a.py` | nothing of ours |\n",
        "## Rooms\n\n| room | turns | into | may import |\n|---|---|---|---|\n| a | – | – | x |\n",
        "## Rooms\n\n| room | turns | into | may import |\n|---|---|---|---|\n| `a/` | – | – | b |\n",
        "## Rooms\n\n| room | turns | into | may import |\n|---|---|---|---|\n"
        "| `a/` | – | – | nothing of ours |\n| `a.py` | – | – | every room |\n",
    ],
)
def test_a_table_that_is_not_whole_is_refused(table: str) -> None:
    with pytest.raises(ValueError, match=r"needed|no rooms"):
        rooms_in(table)


def test_only_the_engine_imports_weasyprint() -> None:
    importers = set()
    for file in MODULES:
        for node in ast.walk(ast.parse((ROOT / file).read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and not node.level:
                names = [node.module or ""]
            if any(name.split(".")[0] == "weasyprint" for name in names):
                importers.add(file)
    assert importers == {"dossier/render/engine.py"}


def test_a_check_does_not_load_weasyprint() -> None:
    # Checking a job must work where the libraries that lay out documents are not installed.
    code = (
        "import sys\n"
        "sys.modules['weasyprint'] = None\n"
        "import dossier.pipeline, dossier.commands.check\n"
        "assert callable(dossier.pipeline.check)\n"
        "del sys.modules['weasyprint']\n"
        "print([name for name in sys.modules if name.split('.')[0] in ('weasyprint', 'pydyf')])\n"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        cwd=ROOT,
        check=False,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "[]"


def speaks_to_a_terminal(source: str) -> list[str]:
    """Return what a module's source does that only a command may: print, ask, know the command line."""
    found = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Call(func=ast.Name(id="print" | "input" as name)):
                found.append(name)
            case ast.Attribute(
                value=ast.Name(id="sys"), attr="stdin" | "stdout" | "stderr" | "argv" as name
            ):
                found.append(name)
            case ast.Import(names=names) if any(one.name == "argparse" for one in names):
                found.append("argparse")
            case ast.ImportFrom(module="argparse"):
                found.append("argparse")
    return found


@pytest.mark.parametrize(
    "file", [file for file in MODULES if not file.startswith(("dossier/commands/", "dossier/cli"))]
)
def test_only_a_command_speaks_to_a_terminal(file: str) -> None:
    # A page in a browser asks for the same deeds.
    found = speaks_to_a_terminal((ROOT / file).read_text(encoding="utf-8"))
    # A process of its own gets its question on its input and answers on its descriptor.
    assert found == (["stdin"] if file in CHILDREN else [])


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("print(1)\n", ["print"]),
        ("def f():\n    return input('?')\n", ["input"]),
        ("import sys\nsys.stderr.write('x')\n", ["stderr"]),
        ("def f(given):\n    import argparse\n", ["argparse"]),
        ("from argparse import Namespace\n", ["argparse"]),
        ("import sys\nsys.modules\nfootprint(1)\n", []),
    ],
)
def test_speaking_to_a_terminal_is_found(source: str, found: list[str]) -> None:
    assert speaks_to_a_terminal(source) == found


def test_the_words_of_the_command_line_load_none_of_what_a_command_needs() -> None:
    # A command that has nothing to do, or is only asked for its help, is over at once.
    code = (
        "import sys, dossier.cli\n"
        "dossier.cli.parser()\n"
        "print(*sorted(name for name in sys.modules if name.startswith('dossier.')))\n"
        "heavy = ('pydantic', 'yaml', 'PIL', 'jinja2', 'cryptography', 'sqlite3', 'pypdf')\n"
        "print(*(name for name in heavy if name in sys.modules))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True, text=True
    )
    ours, heavy = done.stdout.splitlines()
    rooms = {name.split(".")[1] for name in ours.split()}
    assert rooms <= {
        *("cli", "commands", "disk", "errors", "record", "resources", "steps", "terms", "values"),
        "words",
    }
    assert heavy == ""
