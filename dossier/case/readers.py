"""The case as one edition's reader may see it.

In: a case and an edition. Out: a case of the same shape with every withheld field blank and every
withheld paper left out. Must not know a document. Which edition may show a field is declared at the field.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

from dossier.case.case import Case, PutRight
from dossier.case.private import Private, private_words, without
from dossier.reading.declared import readers_of
from dossier.reading.model import Lines, Model, model_in
from dossier.record.job import Job
from dossier.words import Edition

M = TypeVar("M", bound=Model)
T = TypeVar("T")


def for_reader(case: Case, edition: Edition) -> Case:
    """Return the case filtered for the readers of one edition.

    What was filled in from the company, the locality, terms and catalogues is meant for every reader.
    """
    if edition is Edition.OFFICE:
        return case
    shown = _for_reader(case, edition)
    return _without_former_owners(shown, case) if edition is Edition.RESALE else shown


def _for_reader(case: Case, edition: Edition) -> Case:
    papers = tuple(visible(paper, edition) for paper in case.papers if paper.is_for(edition))
    shown = {paper.file for paper in papers}
    job = visible(case.job, edition)
    return replace(
        case,
        # A paper's kind may come from its file's name, so the typed list follows the other.
        job=job.model_copy(update={"papers": tuple(p for p in job.papers if p.file in shown)}),
        lines=_without_withheld_reasons(case.lines, edition),
        asked=tuple(
            replace(asked, warranty=visible(asked.warranty, edition)) for asked in case.asked
        ),
        materials=tuple(
            replace(
                material,
                line=visible(material.line, edition),
                delivery=visible(material.delivery, edition),
            )
            for material in case.materials
        ),
        photos=tuple(visible(photo, edition) for photo in case.photos),
        papers=papers,
        paper_wheres={file: at for file, at in case.paper_wheres.items() if file in shown},
        overrides=(),
        listed_again=(),
        put_right=tuple(_put_right(one, edition) for one in case.put_right),
    )


def _put_right(one: PutRight, edition: Edition) -> PutRight:
    """Return what was put right, values and names as far as this edition may show them."""
    if edition is Edition.RESALE:
        one = replace(one, where=one.anybody)
    return one if edition in one.readers else replace(one, was=None, right=None)


def private_of(case: Case) -> Private:
    """Return the words of a case's owners, those included that stood there before they were corrected.

    case: as the office sees it.
    """
    former = [one.was for one in case.put_right if one.where.startswith("owner ") and one.was]
    return private_words(case.job, former)


def _without_former_owners(case: Case, whole: Case) -> Case:
    """Return the case with the owners' names and ways to reach them out of every typed text.

    A photo or paper whose file is named after an owner is left out.
    """
    private = private_of(whole)
    photos = tuple(photo for photo in case.photos if not private.named_in(photo.file))
    papers = tuple(paper for paper in case.papers if not private.named_in(paper.file))
    shown = {paper.file for paper in papers}
    job = without(case.job, private)
    reasons = {
        path: private.out_of(reason, prose=True)
        for path, reason in case.lines.not_applicable.items()
    }
    taken_over = {
        path: replace(one, value=private.out_of(one.value), job=private.out_of(one.job))
        for path, one in case.lines.taken_over.items()
    }
    return replace(
        case,
        job=job.model_copy(update={"papers": tuple(p for p in job.papers if p.file in shown)}),
        lines=replace(case.lines, not_applicable=reasons, taken_over=taken_over),
        materials=without(case.materials, private),
        work=without(case.work, private),
        photos=without(photos, private),
        photo_numbers={photo.file: case.photo_numbers[photo.file] for photo in photos},
        papers=without(papers, private),
        put_right=without(case.put_right, private, prose=True),
        paper_wheres={file: at for file, at in case.paper_wheres.items() if file in shown},
        kept_from_reader=private,
    )


def _without_withheld_reasons(lines: Lines, edition: Edition) -> Lines:
    """Return the lines with reasons and values of another job only of those fields that this edition may show."""

    def shown(said: Mapping[str, T]) -> dict[str, T]:
        return {path: one for path, one in said.items() if _may_show(Job, path.split("."), edition)}

    return replace(
        lines,
        not_applicable=shown(lines.not_applicable),
        taken_over=shown(lines.taken_over),
    )


def _may_show(model: type[Model], loc: list[str], edition: Edition) -> bool:
    here: type[Model] | None = model
    for part in loc:
        if part.isdigit():
            continue
        info = here.model_fields.get(part) if here else None
        if info is None or edition not in (readers_of(info) or ()):
            return False
        here = model_in(info.annotation)
    return True


def visible(model: M, edition: Edition) -> M:
    """Return the model with every field blank that this edition may not show."""
    shown: dict[str, Any] = {}
    for name, info in type(model).model_fields.items():
        readers = readers_of(info)
        assert readers is not None, f"{type(model).__name__}.{name} does not say who may read it"
        value = getattr(model, name)
        shown[name] = _value(value, edition) if edition in readers else info.default
    return model.model_copy(update=shown)


def _value(value: Any, edition: Edition) -> Any:
    if isinstance(value, Model):
        return visible(value, edition)
    if isinstance(value, tuple):
        return tuple(_value(part, edition) for part in value)
    return value
