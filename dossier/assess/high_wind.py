"""Underlayment where the wind is high: whether it is, how the sheet is fastened, whether the product may be used.

In: a case and its slopes' results. Out: verdicts with the blank places named. Must not know a rule.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from dossier.assess.results import SlopeResult
from dossier.assess.roof import edition_year
from dossier.case.case import Case, Material
from dossier.said import Said
from dossier.trade import underlayment
from dossier.words import Role

_FIELDS = {
    underlayment.CAPPED: "installation.underlayment_caps",
    underlayment.ALONG_LAPS: "installation.caps_along_laps_in",
    underlayment.BETWEEN_LAPS: "installation.caps_between_laps_in",
}


def high_wind(case: Case, slopes: tuple[SlopeResult, ...]) -> bool | None:
    """Return whether the code's high-wind columns hold for this roof's underlayment; None: not known.

    False where there is none to fasten.
    """
    rules = [
        result.underlayment
        for result in slopes
        if result.underlayment is not None and result.underlayment_check is not None
    ]
    return rules[0].high_wind if rules and not case.is_recover else False


@dataclass(frozen=True)
class Fastening:
    """How the underlayment is fastened, against the high-wind grid. needs: blank field → the fact in words."""

    faults: tuple[Said, ...]
    needs: Mapping[str, str]


def fastening(case: Case) -> Fastening:
    """Return what is wrong or not known; caps that were delivered count as caps that were used."""
    laid = case.job.installation
    caps = laid.underlayment_caps if laid else None
    if caps is None and case.materials_of(Role.CAP_FASTENER):
        caps = True
    check = underlayment.check_attachment(
        True,
        caps,
        laid.caps_along_laps_in if laid else None,
        laid.caps_between_laps_in if laid else None,
    )
    return Fastening(check.faults, {_FIELDS[need]: need for need in check.needs})


def products(case: Case) -> Iterator[tuple[Material, underlayment.ProductCheck]]:
    """Yield each underlayment of the roof once, with whether it may be used in high wind."""
    named: set[str] = set()
    for material in case.materials_of(Role.UNDERLAYMENT):
        if material.name not in named:
            named.add(material.name)
            yield (
                material,
                underlayment.check_product(material.standard or "", edition_year(case), True),
            )
