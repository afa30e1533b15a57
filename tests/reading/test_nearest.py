"""The word a slip was meant for, or none: a wrong suggestion costs more than no suggestion.

Slips and words are made up; what each was meant for was written down before anything was run.
"""

import pytest

from dossier.reading.model import model_in
from dossier.reading.near import nearest
from dossier.record.job import Job
from dossier.terms.sheet import Product
from dossier.words import PaperKind, Phase, Role, Scope

_WORDS = {"role": Role, "phase": Phase, "paper": PaperKind, "scope": Scope}
_FIELDS = {
    "job": Job,
    "slope": model_in(Job.model_fields["slopes"].annotation),
    "line": model_in(
        model_in(Job.model_fields["deliveries"].annotation).model_fields["lines"].annotation
    ),  # type: ignore[union-attr]
    "installation": model_in(Job.model_fields["installation"].annotation),
    "head": model_in(Job.model_fields["job"].annotation),
    "product": Product,
}

SLIPS = [
    ("role", "field shingles", "field shingle"),
    ("role", "feild shingle", "field shingle"),
    ("role", "starters", "starter"),
    ("role", "startr", "starter"),
    ("role", "hip & ridge", "hip and ridge"),
    ("role", "hip and rige", "hip and ridge"),
    ("role", "underlayments", "underlayment"),
    ("role", "under layment", "underlayment"),
    ("role", "icebarrier", "ice barrier"),
    ("role", "dripedge", "drip edge"),
    ("role", "exaust vent", "exhaust vent"),
    ("role", "pipe boots", "pipe boot"),
    ("phase", "tear off", "tear-off"),
    ("phase", "tearoff", "tear-off"),
    ("phase", "decking", "deck"),
    ("phase", "cleanup", "clean-up"),
    ("phase", "ventilaton", "ventilation"),
    ("phase", "flashings", "flashing"),
    ("scope", "full tear of", "full tear-off"),
    ("scope", "re-cover", "recover"),
    ("paper", "permits", "permit"),
    ("paper", "invoices", "invoice"),
    ("paper", "change-orders", "change order"),
    ("slope", "pich", "pitch"),
    ("slope", "eaves_ft", "eave_ft"),
    ("slope", "rake", "rake_ft"),
    ("slope", "ridge", "ridge_ft"),
    ("line", "color", "colour"),
    ("line", "colours", "colour"),
    ("line", "lot", "lots"),
    ("line", "quanity", "quantity"),
    ("installation", "nails_per_shingles", "nails_per_shingle"),
    ("installation", "valley_methods", "valley_method"),
    ("head", "contracted_on", "contract_on"),
    ("head", "adress", "address"),
    ("product", "colors", "colours"),
    ("product", "covers_sq_ft", "covers_sqft"),
    ("product", "gtin", "gtins"),
]
"""Where it was to go, what was typed, what was meant."""

WRONG = [
    ("role", "gutter"),
    ("role", "tarp"),
    ("role", "soffit"),
    ("role", "felt"),
    ("role", "satellite dish"),
    ("role", "ridge board"),
    ("role", "rafter"),
    ("phase", "inspection"),
    ("phase", "lunch"),
    ("phase", "delivery"),
    ("phase", "gutters"),
    ("phase", "chimney"),
    ("phase", "roof"),
    ("paper", "postcard"),
    ("paper", "sketch"),
    ("paper", "estimate"),
    ("paper", "photo"),
    ("paper", "measurement report"),
    ("scope", "repair"),
    ("scope", "overlay"),
    ("scope", "reroof"),
    ("slope", "gutter_ft"),
    ("slope", "colour"),
    ("slope", "wall"),
    ("slope", "material"),
    ("line", "price"),
    ("line", "weight"),
    ("line", "slope"),
    ("installation", "weather"),
    ("installation", "crew"),
    ("head", "date"),
    ("head", "price"),
    ("head", "roof"),
    ("product", "price"),
    ("product", "warranty"),
    ("product", "box size"),
]
"""Words that no word or field of that list stands for."""


def choices(where: str) -> list[str]:
    """Return the words or fields of a list."""
    if where in _WORDS:
        return [str(word.value) for word in _WORDS[where]]
    model = _FIELDS[where]
    assert model is not None
    return list(model.model_fields)


@pytest.mark.parametrize(("where", "typed", "meant"), SLIPS)
def test_a_slip_is_given_the_word_it_was_meant_for_or_none(
    where: str, typed: str, meant: str
) -> None:
    assert meant in choices(where)
    assert nearest(typed, choices(where)) in (meant, None)


def test_most_slips_are_given_their_word() -> None:
    given = [nearest(typed, choices(where)) == meant for where, typed, meant in SLIPS]
    assert sum(given) >= 36


@pytest.mark.parametrize(("where", "typed"), WRONG)
def test_a_word_that_stands_for_nothing_there_is_given_none(where: str, typed: str) -> None:
    assert typed not in choices(where)
    assert nearest(typed, choices(where)) is None
