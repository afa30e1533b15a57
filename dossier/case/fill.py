"""A job and the sheets it names into a `Case`.

In: `Read`s of the job and of each sheet. Out: a `Case`, or items where a name leads nowhere. Must not
judge a value; where the job and a sheet both say something, the job wins and the difference is kept.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import TypeVar

from dossier.case.case import AskedWarranty, Case, Material, Override, Told, Work
from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.model import Lines, Read
from dossier.record.derived import said_once
from dossier.record.files import Photo, PhotoList
from dossier.record.job import Job
from dossier.record.materials import Delivery, MaterialLine
from dossier.record.people import Building
from dossier.record.read import Listed as ListedFiles
from dossier.record.roof import Repair
from dossier.said import Feet, File, Listed, Number, Value, say
from dossier.terms.office import Company, Crew, Locality
from dossier.terms.sheet import Catalogue, Product, TermsSheet
from dossier.values import listed, spelt
from dossier.words import Phase

T = TypeVar("T")


def fill(
    job: Read[Job],
    photo_list: Read[PhotoList],
    files: ListedFiles,
    company: Read[Company],
    locality: Read[Locality],
    sheets: Mapping[str, Read[TermsSheet]],
    catalogues: Sequence[Read[Catalogue]],
) -> tuple[Case | None, tuple[Item, ...]]:
    """Return the case, or None with items where the job names a level that its sheet does not have."""
    assert job.model
    assert company.model
    assert locality.model
    overrides: list[Override] = []
    items = tuple(_unknown_levels(job, sheets))
    if items:
        return None, items
    products = _products(catalogues)
    known = company.model.crews
    crews = _named(known, job.model.job.crew)
    where = job.lines.where
    head, building = job.model.job, job.model.building or Building()
    place, at = locality.model, locality.lines.where

    def told(path: str, typed: T | None, sheet: T | None, sheet_where: Where) -> Told[T] | None:
        if typed is not None:
            if sheet is not None and sheet != typed:
                overrides.append(Override(path, str(typed), str(sheet), where(path), sheet_where))
            return Told(typed, where(path), False)
        return None if sheet is None else Told(sheet, sheet_where, True)

    crew_at = company.lines.where(f"crews.{known.index(crews[0])}" if crews else "crews")
    exposure = told("building.exposure", building.exposure, place.exposure, at("exposure"))
    datum = told(
        "building.wall_datum", building.wall_datum, place.ice_barrier.datum, at("ice_barrier.datum")
    )
    assert exposure is not None
    assert datum is not None
    supervisors = _each_once(crew.supervisor for crew in crews)
    leads = _each_once(crew.lead for crew in crews)
    once = said_once(job.model, job.lines)
    repairs = _with_photos(once.job, files.photos)
    filled = Case(
        job=once.job.model_copy(update={"repairs": repairs}),
        lines=job.lines,
        photo_lines=photo_list.lines,
        company=company.model,
        company_lines=company.lines,
        locality=locality.model,
        locality_lines=locality.lines,
        asked=tuple(_asked(job, sheets)),
        materials=tuple(_materials(job.model, job.lines, products, overrides)),
        work=tuple(_work(job.model)),
        photos=files.photos,
        papers=files.papers,
        photo_wheres=files.photo_wheres,
        paper_wheres=files.paper_wheres,
        photo_numbers=_numbers(files.photos, repairs),
        supervised_by=told("job.supervised_by", head.supervised_by, supervisors, crew_at),
        crew_lead=told("job.crew_lead", head.crew_lead, leads, crew_at),
        crews=crews,
        design_wind_mph=told(
            "building.design_wind_mph",
            building.design_wind_mph,
            place.design_wind_mph,
            at("design_wind_mph"),
        ),
        exposure=exposure,
        climate_zone=told(
            "building.climate_zone", building.climate_zone, place.climate_zone, at("climate_zone")
        ),
        wall_datum=datum,
        overrides=tuple(overrides),
        listed_again=files.again,
        derived=once.sources,
        products={name: product for name, (product, _, _) in products.items()},
    )
    return filled, ()


def _named(known: Sequence[Crew], names: Sequence[str]) -> tuple[Crew, ...]:
    """Return the company's crews of these names, each once; of two of one name the first."""
    by_name = {crew.name: crew for crew in reversed(known)}
    return tuple(by_name[name] for name in dict.fromkeys(names) if name in by_name)


def _unknown_levels(job: Read[Job], sheets: Mapping[str, Read[TermsSheet]]) -> Iterator[Item]:
    assert job.model
    for number, warranty in enumerate(job.model.warranties):
        sheet = sheets[warranty.sheet].model
        if sheet is not None and sheet.level(warranty.level) is None:
            at = job.lines.where(f"warranties.{number}.level")
            says = say(
                "{at} asks for the level “{level}” of {sheet}, which has {levels}.",
                at=str(at),
                level=warranty.level,
                sheet=File(warranty.sheet),
                levels=Listed(tuple(level.level for level in sheet.levels), "or"),
            )
            yield shape.UNKNOWN_SHEET.at(at, says, "Write one of the sheet's levels.")


def _asked(job: Read[Job], sheets: Mapping[str, Read[TermsSheet]]) -> Iterator[AskedWarranty]:
    for number, warranty in enumerate(job.needed.warranties):
        read = sheets[warranty.sheet]
        assert read.model is not None
        level = read.model.level(warranty.level)
        path = f"warranties.{number}"
        over = tuple(n for n in ("sheet", "level") if job.lines.from_another(f"{path}.{n}"))
        yield AskedWarranty(warranty, read.model, level, read.lines.file, path, over)


def _each_once(names: Iterable[str | None]) -> str | None:
    return listed(tuple(dict.fromkeys(name for name in names if name))) or None


def _products(catalogues: Sequence[Read[Catalogue]]) -> dict[str, tuple[Product, str, Where]]:
    """Return each product by its name in lower case, with its maker and where it stands."""
    found: dict[str, tuple[Product, str, Where]] = {}
    for read in catalogues:
        if read.model is None:
            continue
        for number, product in enumerate(read.model.products):
            at = read.lines.where(f"products.{number}")
            maker = product.maker or read.model.maker
            found.setdefault(spelt(product.product), (product, maker, at))
    return found


def _materials(
    job: Job,
    lines: Lines,
    products: Mapping[str, tuple[Product, str, Where]],
    overrides: list[Override],
) -> Iterator[Material]:
    for d, delivery in enumerate(job.deliveries):
        for m, line in enumerate(delivery.lines):
            path = f"deliveries.{d}.lines.{m}"
            yield _material(
                line, delivery, path, lines, products.get(spelt(line.product)), overrides
            )


def _material(
    line: MaterialLine,
    delivery: Delivery,
    path: str,
    lines: Lines,
    known: tuple[Product, str, Where] | None,
    overrides: list[Override],
) -> Material:
    product, maker, at = known or (None, None, Where(""))

    def pick(field: str, typed: T | None, sheet: T | None, write: Callable[[T], Value]) -> T | None:
        if typed is None:
            return sheet
        if sheet is not None and sheet != typed:
            spot = f"{path}.{field}"
            overrides.append(Override(spot, write(typed), write(sheet), lines.where(spot), at))
        return typed

    quantity = line.quantity
    if quantity is not None and line.returned is not None:
        quantity -= line.returned
    return Material(
        line=line,
        delivery=delivery,
        product=product,
        role=pick("role", line.role, product.role if product else None, str),
        maker=pick("maker", line.maker, maker, str),
        covers_sqft=pick(
            "covers_sqft",
            line.covers_sqft,
            product.covers_sqft if product else None,
            lambda area: Number(area, "sq ft", 2),
        ),
        covers_ft=pick("covers_ft", line.covers_ft, product.covers_ft if product else None, Feet),
        standard=pick("standard", line.standard, product.standard if product else None, str),
        wind_class=pick(
            "wind_class", line.wind_class, product.wind_class if product else None, str
        ),
        carries_lot=pick(
            "carries_lot",
            line.carries_lot,
            product.carries_lot if product else None,
            lambda yes: say("yes" if yes else "no"),
        ),
        quantity=None if quantity is None else Fraction(quantity),
        path=path,
    )


def _work(job: Job) -> Iterator[Work]:
    for number, day in enumerate(job.work):
        for phase in day.phases:
            yield Work(
                phase=phase,
                slopes=day.slopes,
                first=day.days.first,
                last=day.days.last,
                checked_by=day.checked_by,
                checked_on=day.checked_on or (day.days.last if day.checked_by else None),
                path=f"work.{number}",
            )


def _with_photos(job: Job, photos: Sequence[Photo]) -> tuple[Repair, ...]:
    """Return the repairs, each with the photos filed for it where it names none itself."""
    return tuple(
        repair.model_copy(
            update={
                "photo_before": repair.photo_before or _repair_photo(repair, photos, "before"),
                "photo_after": repair.photo_after or _repair_photo(repair, photos, "after"),
            }
        )
        for repair in job.repairs
    )


def _numbers(photos: Sequence[Photo], repairs: Sequence[Repair]) -> dict[str, int]:
    """Return each photo's number, by phase as a roof is built and then as listed; no phase comes last.

    The photos of a slope's deck repairs stand together, those from before it first and those from after last.
    """
    phases = list(Phase)
    before = {repair.photo_before for repair in repairs}
    after = {repair.photo_after for repair in repairs}
    slopes = [photo.slope for photo in photos if photo.phase is Phase.DECK_REPAIR]

    def place(photo: Photo) -> tuple[int, int, int]:
        if photo.phase is not Phase.DECK_REPAIR:
            return (phases.index(photo.phase) if photo.phase else len(phases), 0, 0)
        first = photo.file in before or (photo.file not in after and _says(photo, "before"))
        last = photo.file in after or _says(photo, "after")
        moment = 0 if first else 2 if last else 1
        return (phases.index(photo.phase), slopes.index(photo.slope), moment)

    ordered = sorted(photos, key=place)
    return {photo.file: number for number, photo in enumerate(ordered, start=1)}


def _says(photo: Photo, moment: str) -> bool:
    """Return whether a photo's caption, or the name of its file, holds that word."""
    words = f"{photo.file.rpartition('/')[2]} {photo.caption or ''}".lower()
    return moment in re.split(r"[^a-z]+", words)


def _repair_photo(repair: Repair, photos: Sequence[Photo], moment: str) -> str | None:
    """Return the one photo of this slope's repairs whose name says before or after."""
    fitting = [
        photo.file
        for photo in photos
        if photo.phase is Phase.DECK_REPAIR
        and photo.slope == repair.slope
        and moment in photo.file.rpartition("/")[2].lower().replace(".", "-").split("-")
    ]
    return fitting[0] if len(fitting) == 1 else None
