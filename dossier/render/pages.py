"""A template and its ready-to-print strings into HTML.

In: a template's name, and the strings it prints. Out: HTML in which every printed value has been
escaped and made printable. Must not know what the strings mean, and does no sums: templates run in
a sandbox that cannot reach Python's insides nor change what it was given.
"""

import traceback
from collections.abc import Mapping
from pathlib import Path

from jinja2 import FileSystemLoader, StrictUndefined, TemplateError, TemplateSyntaxError
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from dossier.errors import UnreadableInput
from dossier.render.glyphs import printable
from dossier.resources import resource


def environment(overrides: Path | None = None) -> ImmutableSandboxedEnvironment:
    """Return the one way templates are read: sandboxed, escaping, strict about names.

    overrides: an office's own template folder, searched before the shipped one; `None` for none.
    """
    folders = [resource()] if overrides is None else [overrides, resource()]
    return ImmutableSandboxedEnvironment(
        autoescape=True,
        # Every `{{ … }}` passes through here before it is escaped, so no template can forget it.
        finalize=_print,
        undefined=StrictUndefined,
        loader=FileSystemLoader(folders),
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )


def fill(template: str, context: Mapping[str, object], *, overrides: Path | None = None) -> str:
    """Return the HTML of one template filled with the context.

    template: a file name below `templates/`, such as "handover.html". overrides: an office's own
    template folder, searched first. A name the context lacks, a value of `None` and a reach outside
    the sandbox are errors: `UnreadableInput` when the fault lies in the office's folder, otherwise
    the fault is ours and Jinja's own exception passes through.
    """
    try:
        return environment(overrides).get_template(template).render(context)
    except (TemplateError, NothingToPrint) as error:
        place = None if overrides is None else _place_in(overrides, error)
        if place is None:
            raise
        raise UnreadableInput(
            f"The office's own template cannot be used: {error} ({place}).",
            "Correct that line, or take the file out of the office's template folder to use the "
            "shipped one.",
        ) from error


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
    """Return "file, line n" of the innermost template line, `None` if not in the folder."""
    if isinstance(error, TemplateSyntaxError) and error.filename:
        places = [(error.filename, error.lineno)]
    else:
        # Jinja rewrites its tracebacks so that template lines stand in them like Python's.
        places = [
            (frame.filename, frame.lineno or 0)
            for frame in traceback.extract_tb(error.__traceback__)
            if frame.filename.endswith(".html") or frame.filename.endswith(".css")
        ]
    if not places:
        return None
    file, line = places[-1]
    if not Path(file).resolve().is_relative_to(folder.resolve()):
        return None
    return f"{Path(file).name}, line {line}"
