"""The table of every fact that a rule rests on, and of what happens where it is blank.

In: the rule book and the models of record and sheets. Out: Markdown. Must not know any one rule.
"""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from dossier.reading.model import Model, is_list, model_in
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.rules.book import rule_book
from dossier.rules.declare import ASKED, GROUND, Rule
from dossier.terms.office import Company, Locality
from dossier.terms.sheet import TermsSheet

_MODELS: Mapping[str, type[Model]] = MappingProxyType(
    {
        "job": Job,
        "photos": PhotoList,
        "locality": Locality,
        "company": Company,
        "terms": TermsSheet,
    }
)
_INTRO = """
## What a blank does

Every fact that a rule rests on, by its address: `job.slopes.*.pitch` is the pitch of each slope in `job.yaml`;
`photos.` stands for `photos.yaml`, and `locality.`, `company.` and `terms.` for the office's sheets. A rule that
asks for a fact says that it cannot tell, or that something is missing, and names the field, wherever this roof
makes the fact matter. Of any other rule that reads it the table says why a blank is no finding of its own. A test
leaves each of them blank.
"""
_GROUND_NOTE = "Every rule may stand on it: "


def blanks_manual() -> str:
    """Return the table of facts as Markdown."""
    rows = [("fact", "means", "asked for by", "a blank elsewhere"), ("---",) * 4]
    rules = list(rule_book())
    addresses = {address for rule in rules for address in rule.rests_on} | set(GROUND)
    known = {address: (number, means) for number, (address, means) in enumerate(_facts())}
    for address in sorted(addresses, key=lambda one: known[one]):
        rows.append(_row(address, known[address][1], rules))
    return _INTRO + "\n" + "".join(f"| {' | '.join(row)} |\n" for row in rows)


def _row(address: str, means: str, rules: list[Rule]) -> tuple[str, str, str, str]:
    asking: list[str] = []
    reasons: dict[str, list[str]] = {}
    if address in GROUND:
        reasons[f"{_GROUND_NOTE}{GROUND[address]}"] = []
    for rule in rules:
        blank = rule.rests_on.get(address)
        if blank == ASKED:
            asking.append(rule.id)
        elif blank is not None and blank != GROUND.get(address):
            reasons.setdefault(blank, []).append(rule.id)
    told = (f"{', '.join(ids)}: {blank}" if ids else blank for blank, ids in reasons.items())
    return f"`{address}`", means, ", ".join(asking), "<br>".join(told)


def _facts() -> Iterator[tuple[str, str]]:
    """Yield every address that a rule may rest on, with what it means, in the order of the manuals."""
    for kind, model in _MODELS.items():
        yield kind, ""
        yield from _within(model, "" if kind == "photos" else f"{kind}.")


def _within(
    model: type[Model], before: str, around: tuple[type[Model], ...] = ()
) -> Iterator[tuple[str, str]]:
    for name, info in model.model_fields.items():
        address, inner = f"{before}{name}", model_in(info.annotation)
        yield address, info.description or ""
        # A group may hold itself, as a condition does; no rule rests on what lies deeper.
        if inner is not None and inner not in around:
            below = f"{address}.*." if is_list(info.annotation) else f"{address}."
            yield from _within(inner, below, (*around, model))
