"""A template and its ready-to-print strings into HTML.

In: a template's name, and the strings it prints. Out: HTML in which every printed value has been
escaped and made printable. Must not know what the strings mean, and does no sums: templates run in
a sandbox that cannot reach Python's insides nor change what it was given.
"""

import re
import traceback
from collections.abc import Callable, Mapping
from pathlib import Path

from jinja2 import (
    BaseLoader,
    Environment,
    FileSystemLoader,
    StrictUndefined,
    Template,
    TemplateNotFound,
    TemplateSyntaxError,
)
from markupsafe import Markup

from dossier.errors import UnreadableInput
from dossier.render.glyphs import printable
from dossier.render.own_templates import (
    MOST_CHARACTERS,
    Refused,
    Sandbox,
    refuse_what_is_no_file_of_its_own,
)
from dossier.resources import resource

MACROS = "marks.html"
"""The one file of macros: an office's own is read after the shipped one, so it holds only what it changes."""

SHIPPED = "shipped/"
"""What stands before a name to reach the shipped template though the office has one of that name."""


def environment(overrides: Path | None = None) -> Sandbox:
    """Return the one way templates are read: sandboxed, escaping, strict about names.

    overrides: an office's own template folder, searched before the shipped one; `None` for none.
    """
    return Sandbox(
        autoescape=True,
        # Every `{{ … }}` passes through here before it is escaped, so no template can forget it.
        finalize=_print,
        undefined=StrictUndefined,
        loader=FileSystemLoader(resource()) if overrides is None else _OfficeFirst(overrides),
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )


class _OfficeFirst(BaseLoader):
    """Finds a template in the office's folder, else among the shipped ones."""

    def __init__(self, folder: Path) -> None:
        self._shipped = FileSystemLoader(resource())
        self._office = FileSystemLoader(folder)

    def get_source(
        self, environment: Environment, template: str
    ) -> tuple[str, str | None, Callable[[], bool] | None]:
        """Return a template's text and the file a fault in it is looked for in."""
        if template.startswith(SHIPPED):
            return self._shipped.get_source(environment, template.removeprefix(SHIPPED))
        try:
            own, file, fresh = self._office.get_source(environment, template)
        except TemplateNotFound:
            return self._shipped.get_source(environment, template)
        if template == MACROS:
            # Of two macros of one name the later counts, for the other macros too.
            return f"{_shipped_macros()}{own}", file, fresh
        return own, file, fresh


def _shipped_macros() -> str:
    return (resource() / MACROS).read_text("utf-8").rstrip("\n") + "\n"


def fill(template: str, context: Mapping[str, object], *, overrides: Path | None = None) -> str:
    """Return the HTML of one template filled with the context.

    template: a file name below `templates/`, such as "handover.html". overrides: an office's own
    template folder, searched first. A name the context lacks, a value of `None` and a reach outside
    the sandbox are errors: `UnreadableInput` when the fault lies in the office's folder, otherwise
    the fault is ours and the exception passes through.
    """
    try:
        if overrides is not None:
            refuse_what_is_no_file_of_its_own(overrides)
        return _without_dead_links(_filled(environment(overrides).get_template(template), context))
    except Refused as error:
        raise office_fault(str(error)) from error
    except UnicodeDecodeError as error:
        if overrides is None:
            raise
        raise office_fault(
            f"it is not text in UTF-8 ({overrides.name}/{template} or a file it names)"
        ) from error
    except Exception as error:
        # A template can go wrong in any way a program can: a sum with nought, a loop through itself.
        place = None if overrides is None else _place_in(overrides, error)
        if place is None:
            raise
        said = "it calls itself without end" if isinstance(error, RecursionError) else str(error)
        raise office_fault(f"{said} ({place})") from error


def _filled(template: Template, context: Mapping[str, object]) -> str:
    """Return the page; raises Refused for one that is longer than any document."""
    pieces: list[str] = []
    left = MOST_CHARACTERS
    for piece in template.generate(context):
        left -= len(piece)
        if left < 0:
            raise Refused(f"it prints more than {MOST_CHARACTERS // 10**6} million characters")
        pieces.append(piece)
    return "".join(pieces)


_LINK = re.compile(r'<a href="#([^"]+)"[^>]*>(.*?)</a>', re.DOTALL)


def _without_dead_links(html: str) -> str:
    """Return the page with links to places it does not have as plain words.

    An office may leave out a block, such as the index that the numbers beside statements lead to.
    """
    places = set(re.findall(r'\bid="([^"]+)"', html))
    return _LINK.sub(lambda link: link[0] if link[1] in places else link[2], html)


def office_fault(what: str) -> UnreadableInput:
    """Return the sentence on a fault of an office's own templates. what: a clause."""
    return UnreadableInput(
        f"The office's own template cannot be used: {what}.",
        "Correct that line, or take the file out of the office's template folder to use the "
        "shipped one.",
    )


class NothingToPrint(TypeError):
    """A template asked to print `None`: a document would say “None” to its reader."""


def _print(value: object) -> object:
    """Return the value as printable text; markup stays markup, an undefined name raises."""
    if value is None:
        raise NothingToPrint(
            "a template prints a value that is None; compose must say what is missing"
        )
    text = printable(str(value))
    return Markup(text) if hasattr(value, "__html__") else text


def _place_in(folder: Path, error: BaseException) -> str | None:
    """Return "file, line n" of the template line at fault, `None` if it is not in the folder.

    A shipped macro that is called amiss from the office's line is that line's fault.
    """
    if isinstance(error, TemplateSyntaxError) and error.filename:
        places = [(error.filename, error.lineno)]
    else:
        # Jinja rewrites its tracebacks so that template lines stand in them like Python's.
        places = [
            (frame.filename, frame.lineno or 0)
            for frame in traceback.extract_tb(error.__traceback__)
            if frame.filename.endswith((".html", ".css"))
        ]
    macros = str(resource() / MACROS)
    for file, line in reversed(places):
        own_line = line
        if Path(file).name == MACROS and file != macros:
            own_line = line - _shipped_macros().count("\n")
        in_office = Path(file).resolve().is_relative_to(folder.resolve())
        if in_office and own_line > 0:
            return f"{folder.name}/{Path(file).name}, line {own_line}"
        if not in_office and file != macros:
            return None
    return None
