"""What is imported against what is declared; and the layout program that the finisher was tested with."""

import ast
import importlib.metadata
import sys
import tomllib
from collections.abc import Iterator
from functools import cache

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from dossier.bind.conformance import TESTED_WITH
from tests.known_good import DEMO

CHECKOUT = DEMO.parent
PROJECT = tomllib.loads((CHECKOUT / "pyproject.toml").read_text())["project"]
DECLARED = {
    canonicalize_name(one.name): one
    for one in map(
        Requirement, (*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["marks"])
    )
}
BROUGHT_BY = importlib.metadata.packages_distributions()
READ_BY_PYTHON = {"tzdata"}
"""The standard library's zoneinfo looks for it where the system keeps no time zones (Python docs, zoneinfo)."""


def modules_in(source: str) -> Iterator[str]:
    """Yield the first part of the name of every module that is imported from outside the package."""
    for node in ast.walk(ast.parse(source)):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and not node.level and node.module:
            names = [node.module]
        yield from (name.partition(".")[0] for name in names)


def undeclared(modules: set[str], declared: set[str]) -> list[str]:
    """Return the modules of other people that no declared package brings."""
    theirs = modules - set(sys.stdlib_module_names) - {"dossier"}
    return sorted(
        name
        for name in theirs
        if not declared & {canonicalize_name(one) for one in BROUGHT_BY.get(name, ())}
    )


@cache
def imported() -> set[str]:
    """Return every module that some module of the package imports."""
    files = (CHECKOUT / "dossier").rglob("*.py")
    return {name for file in files for name in modules_in(file.read_text(encoding="utf-8"))}


def test_every_import_of_another_package_is_declared() -> None:
    assert undeclared(imported(), set(DECLARED)) == []


def test_every_declared_package_is_imported() -> None:
    modules = imported()
    unused = {name for name in DECLARED if undeclared(modules, set(DECLARED) - {name}) == []}
    assert unused == READ_BY_PYTHON


def test_an_import_that_another_package_merely_brings_along_is_found() -> None:
    source = "import os\nfrom dossier.values import clip\nfrom markupsafe import Markup\n"
    assert undeclared(set(modules_in(source)), {"jinja2"}) == ["markupsafe"]
    assert undeclared(set(modules_in(source)), {"jinja2", "markupsafe"}) == []
    assert undeclared({"no_such_module"}, set(DECLARED)) == ["no_such_module"]


def test_the_layout_program_is_one_the_finisher_was_tested_with() -> None:
    bound, tested = DECLARED["weasyprint"].specifier, Version(TESTED_WITH)
    assert bound.contains(importlib.metadata.version("weasyprint"))
    assert bound.contains(f"{TESTED_WITH}.9")
    newer = (f"{tested.major}.{tested.minor + 1}", f"{tested.major + 1}.0")
    assert [one for one in newer if bound.contains(one)] == []


def test_this_run_judges_the_version_that_is_named() -> None:
    # Whoever tests with another one looks at the judges' words, and then writes its number down.
    installed = Version(importlib.metadata.version("weasyprint"))
    assert f"{installed.major}.{installed.minor}" == TESTED_WITH
