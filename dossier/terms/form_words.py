"""The fields of a maker's registration form that fill themselves in, by whatever ordinary words a form calls them.

In: the words on a form. Out: which field that is. Must not know what a job holds for it. Spellings are common
practice, no published source.
"""

import re
from collections.abc import Mapping
from types import MappingProxyType

BY_HAND = "by hand"
"""Ends the name of a field that the office means to fill in itself, and is what a signature is."""

FORM_FIELDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "owner name": ("owner", "property owner", "property owner name"),
        "owner mailing address": ("owner address", "mailing address"),
        "owner phone": ("phone", "phone number", "owner phone number"),
        "owner email": ("email",),
        "property address": (
            *("address", "roof address", "house address", "job address", "site address"),
            *("project address", "installation address", "job site address", "location of roof"),
        ),
        "job number": ("job",),
        "installer": ("installer name", "installed by"),
        "installer address": (),
        "installer phone": ("installer phone number",),
        "installer email": (),
        "installer licence": ("licence", "licence number", "installer licence number"),
        "installer certification": ("certification", "certification level"),
        "certification number": (
            *("installer number", "installer id", "certification id", "certified installer number"),
            "installer certification number",
        ),
        "contract date": ("contract", "contract signed", "contract signed on"),
        "start date": (
            *("started", "started on", "date started", "work started", "work started on"),
            "installation start date",
        ),
        "completion date": (
            *("completed", "completed on", "work completed", "work completed on"),
            *("date job completed", "date installation completed", "installation completion date"),
        ),
        "completion signed": ("completion signed on",),
        "date of last shingle": ("last shingle", "last shingle on", "date last shingle laid"),
        "last day of work": ("work ended on", "work finished on"),
        "squares installed": ("squares", "number of squares", "roof area", "roof size"),
        "field shingle and colour": ("shingle and colour", "product and colour"),
        "field shingle": ("shingle", "product", "shingle product", "shingle name", "product name"),
        "colour": ("shingle colour", "field shingle colour", "product colour"),
        "accessories": ("accessory products", "accessory", "other products"),
        "lots": ("lot", "lot number", "lot numbers"),
        "permit number": ("permit",),
        "level": ("warranty level", "level of warranty", "warranty", "coverage level"),
        BY_HAND: (
            *("signature", "owner signature", "installer signature", "signed", "date signed"),
            *("signature date", "owner signature date", "installer signature date"),
        ),
    }
)
"""Each field as it is listed, with its other names; case, order of words and small words count for nothing."""

_SAME: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("telephone", "tel", "mobile", "cell"), "phone"),
        **dict.fromkeys(("homeowner", "customer", "owners", "homeowners"), "owner"),
        **dict.fromkeys(("contractor", "roofer", "applicator"), "installer"),
        **dict.fromkeys(("no", "nr", "num", "numbers"), "number"),
        **dict.fromkeys(("day", "on"), "date"),
        **{"color": "colour", "colors": "colour", "colours": "colour", "shingles": "shingle"},
        **{"license": "licence"},
        **{"products": "product", "began": "started"},
    }
)
_SMALL = frozenset({"the", "of", "a", "an", "s", "in", "was", "were", "for"})


def _words(text: str) -> frozenset[str]:
    text = re.sub("[&,/+]", " and ", text.lower().replace("e-mail", "email"))
    found = (_SAME.get(word, word) for word in re.findall(r"[a-z]+", text))
    return frozenset(word for word in found if word not in _SMALL)


_BY_WORDS: Mapping[frozenset[str], str] = MappingProxyType(
    {_words(name): field for field, names in FORM_FIELDS.items() for name in (field, *names)}
)


def form_field(text: str) -> str | None:
    """Return the field of `FORM_FIELDS` that a form's words mean; None where they are not known."""
    if text.lower().endswith(f" {BY_HAND}"):
        return BY_HAND
    return _BY_WORDS.get(_words(text))
