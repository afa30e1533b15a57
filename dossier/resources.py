"""Shipped resources: where the templates and fonts lie, in a wheel or in a checkout.

In: the parts of a path below `templates/`. Out: a path that exists. Must not know what is in the
file.
"""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent

# A wheel carries the folder inside the package; a checkout has it beside the package.
_HOMES = (_PACKAGE / "templates", _PACKAGE.parent / "templates")


def resource(*parts: str) -> Path:
    """Return the path of a shipped resource, such as `resource("fonts", "OFL.txt")`.

    parts: names below `templates/`, none for the folder itself. The packaged copy is taken before
    the checkout's. Raises `ValueError` for a part that leaves the folder and `FileNotFoundError`
    when neither copy has the file: the installation is incomplete, which no record can mend.
    """
    for part in parts:
        if part in {"", ".", ".."} or any(mark in part for mark in "/\\:"):
            raise ValueError(f"“{part}” is not one name below templates/")
    for home in _HOMES:
        path = home.joinpath(*parts)
        if path.exists():
            return path
    looked = " and ".join(str(home.joinpath(*parts)) for home in _HOMES)
    raise FileNotFoundError(f"the shipped file is missing; looked for {looked}")
