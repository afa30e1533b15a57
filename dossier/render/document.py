"""A composed document into a PDF: its template filled, laid out, and made to conform.

In: a document of ready-to-print strings, the look, the pictures already reduced, files to attach, the
moment. Out: the PDF. Must not know what the document says.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Protocol

from dossier.compose.parts.shared import Look, PictureWanted
from dossier.errors import DossierError, UnreadableInput
from dossier.render.engine import Asset, Attached, Finisher, Rendered, render
from dossier.render.kept_documents import KeptDocuments
from dossier.render.own_templates import LONGEST_A_PICTURE_S, LONGEST_S, Refused, within
from dossier.render.pages import fill, office_fault


class Document(Protocol):
    """What every composed document has."""

    @property
    def template(self) -> str:
        """Return the name of its template."""

    @property
    def title(self) -> str:
        """Return its title."""

    @property
    def pictures(self) -> tuple[PictureWanted, ...]:
        """Return the pictures it prints."""


def render_document(
    doc: Document,
    look: Look,
    pictures: Mapping[str, Asset],
    attachments: Sequence[Attached],
    made_at: datetime,
    *,
    finisher: Finisher | None = None,
    overrides: Path | None = None,
    kept: KeptDocuments | None = None,
) -> Rendered:
    """Return the PDF of one composed document.

    pictures: by the name under which the document wants them; one that is missing is a fault. made_at:
    with a time zone. finisher: what makes the file conform. overrides: an office's own templates. kept: where
    a document of just this content may lie from an earlier run. Raises what `fill` and `render` raise, and
    UnreadableInput where the office's own templates take too long.
    """

    def made(own: Path | None) -> Rendered:
        return _rendered(doc, look, pictures, attachments, made_at, finisher, own, kept)

    if overrides is None or not any(overrides.iterdir()):
        return made(None)
    try:
        longest_s = LONGEST_S + LONGEST_A_PICTURE_S * len(doc.pictures)
        return within(longest_s, lambda: made(overrides))
    except Refused as error:
        raise office_fault(str(error)) from error


def _rendered(
    doc: Document,
    look: Look,
    pictures: Mapping[str, Asset],
    attachments: Sequence[Attached],
    made_at: datetime,
    finisher: Finisher | None,
    overrides: Path | None,
    kept: KeptDocuments | None,
) -> Rendered:
    context: Mapping[str, object] = {"doc": doc, "look": look}
    html = fill(doc.template, context, overrides=overrides)
    key = kept.key(html, pictures, attachments, made_at) if kept else ""
    if kept is not None and (known := kept.take(key)) is not None:
        return known
    try:
        made = render(
            html, assets=pictures, attachments=attachments, made_at=made_at, finisher=finisher
        )
    except DossierError:
        raise
    except Exception as fault:
        # With nothing of the office's in it, it is a fault of ours. Rules nested a thousand deep and the like
        # end in whatever the layout program happens to raise.
        if overrides is None or html == fill(doc.template, context):
            raise
        own = ", ".join(sorted(path.name for path in overrides.iterdir()))
        what = "it is nested too deep" if isinstance(fault, RecursionError) else str(fault)
        raise UnreadableInput(
            f"The office's own templates ({own}) give a page that cannot be printed: {what}.",
            "Correct what is named, or take the file out of the office's template folder to use the "
            "shipped one.",
        ) from fault
    if kept is not None:
        kept.keep(key, made)
    return made
