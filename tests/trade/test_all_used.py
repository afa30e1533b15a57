"""No public function of `trade/` stands there for its tests alone: the product uses it, or it goes.

A function is used where code outside `trade/` names it, or where something in `trade/` that is used does. Read
from the source, so that a name in a string or in a test counts for nothing.
"""

import ast
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

PRODUCT = Path(__file__).parents[2] / "dossier"

Name = tuple[str, str]
"""A module of `trade/` and a name in it."""


def _definitions(module: str, tree: ast.Module) -> Iterator[tuple[Name, ast.stmt]]:
    """Yield every name that a module of `trade/` defines itself, with the statement that does."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield (module, node.name), node
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                if isinstance(target, ast.Name):
                    yield (module, target.id), node


def _imported(tree: ast.Module) -> tuple[dict[str, Name], dict[str, str]]:
    """Return the names of `trade/` that a file imports, and its modules, each by the word used for it."""
    names: dict[str, Name] = {}
    modules: dict[str, str] = {}
    for node in ast.walk(tree):
        if not isinstance(node, ast.ImportFrom) or not node.module:
            continue
        for alias in node.names:
            word = alias.asname or alias.name
            if node.module == "dossier.trade":
                modules[word] = alias.name
            elif node.module.startswith("dossier.trade."):
                names[word] = (node.module.removeprefix("dossier.trade."), alias.name)
    return names, modules


def _named(node: ast.AST, names: Mapping[str, Name], modules: Mapping[str, str]) -> Iterator[Name]:
    """Yield every name of `trade/` that stands in a piece of source."""
    for part in ast.walk(node):
        if isinstance(part, ast.Name) and part.id in names:
            yield names[part.id]
        elif isinstance(part, ast.Attribute) and isinstance(part.value, ast.Name):
            module = modules.get(part.value.id)
            if module is not None:
                yield module, part.attr


def unused(sources: Mapping[str, str]) -> set[Name]:
    """Return the public functions of `trade/` that nothing outside it reaches. sources: by path in the package."""
    trade: dict[Name, tuple[ast.stmt, Mapping[str, Name], Mapping[str, str]]] = {}
    reached: list[Name] = []
    for path, text in sources.items():
        tree = ast.parse(text)
        names, modules = _imported(tree)
        if not path.startswith("trade/"):
            # An import alone is no use; what is imported has to stand in the code as well.
            reached += _named(tree, names, modules)
            continue
        module = path.removeprefix("trade/").removesuffix(".py")
        own = {name: statement for (_, name), statement in _definitions(module, tree)}
        names = {**names, **{name: (module, name) for name in own}}
        trade |= {(module, name): (node, names, modules) for name, node in own.items()}
    used: set[Name] = set()
    while reached:
        name = reached.pop()
        if name in used or name not in trade:
            continue
        used.add(name)
        reached += _named(*trade[name])
    return {
        name
        for name, (node, *_) in trade.items()
        if isinstance(node, ast.FunctionDef) and not name[1].startswith("_") and name not in used
    }


@cache
def _unused() -> set[Name]:
    return unused(
        {
            path.relative_to(PRODUCT).as_posix(): path.read_text("utf-8")
            for path in sorted(PRODUCT.rglob("*.py"))
        }
    )


def test_every_public_function_of_trade_is_used_by_the_product() -> None:
    assert _unused() == set()


# The test of the test: the product above could be clean, and the scan blind.

_TRADE = """
def called(): return inner()
def inner(): return _LIMIT
def by_module(): return 1
def only_tested(): return by_an_unused_one()
def by_an_unused_one(): return 2
def _private(): return 3
_LIMIT = 4
"""


def test_a_function_that_only_an_unused_one_calls_is_unused_too() -> None:
    imports = "from dossier.trade import deck\nfrom dossier.trade.deck import called\n"
    caller = f"{imports}x = called() + deck.by_module()"
    found = unused({"trade/deck.py": _TRADE, "assess/code.py": caller})
    assert found == {("deck", "only_tested"), ("deck", "by_an_unused_one")}


def test_an_import_alone_a_text_and_a_namesake_are_no_use() -> None:
    caller = (
        "from dossier.trade.deck import called\ndef by_module(): return 'inner'\nx = by_module()"
    )
    found = unused({"trade/deck.py": _TRADE, "assess/code.py": caller})
    assert {("deck", "called"), ("deck", "by_module"), ("deck", "inner")} <= found


def test_a_name_under_another_word_and_across_modules_is_a_use() -> None:
    other = "from dossier.trade.deck import called as go\ndef check(): return go()"
    caller = "from dossier.trade import wind as w\nx = w.check()"
    found = unused({"trade/deck.py": _TRADE, "trade/wind.py": other, "assess/code.py": caller})
    assert ("wind", "check") not in found
    assert ("deck", "called") not in found
    assert ("deck", "inner") not in found
