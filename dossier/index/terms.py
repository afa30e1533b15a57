"""The sheets that hold for one job, in the order in which they count, and word of every place looked at.

In: the office's files and a job. Out: the models of sheets, None for one that is not there or cannot be read.
"""

from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from dossier.index.scan import CLOSEOUT, COMPANY, SEALED
from dossier.index.sheets import CATALOGUES, OFFICE, Sheets
from dossier.reading.model import Model, read_model
from dossier.reading.nodes import parse_tree
from dossier.terms.office import Company, Workmanship
from dossier.terms.sheet import Catalogue, TermsSheet
from dossier.values import spelt

AS_BUILT = "as-built/"
M = TypeVar("M", bound=Model)


@dataclass
class JobSheets:
    """The sheets of one job. looked: place → digest of all that was looked for."""

    sheets: Sheets
    job: Path
    is_sealed: bool
    looked: dict[str, str] = field(default_factory=dict)

    def sheet(self, name: str) -> TermsSheet | None:
        """Return a terms sheet: of a sealed job the one it was built by, of an open one today's."""
        if "/" in name or "\\" in name or "\0" in name:
            return None
        return self._first(f"terms/{name}.yaml", TermsSheet)

    def workmanship(self) -> Workmanship | None:
        """Return the company's own coverage."""
        company = self._first(COMPANY, Company)
        return company.workmanship if company else None

    def product(self, name: str) -> tuple[str, str]:
        """Return the role and the maker of a product; blank where no catalogue has it."""
        for folder in self._folders():
            known = self._products(f"{folder}terms/").get(spelt(name))
            if known is not None:
                return known
        return "", ""

    def _folders(self) -> tuple[str, ...]:
        if self.is_sealed:
            return f"{SEALED}/{CLOSEOUT}/data/{AS_BUILT}", AS_BUILT, OFFICE
        return OFFICE, AS_BUILT

    def _first(self, name: str, model: type[M]) -> M | None:
        found = (self._read(f"{folder}{name}", model) for folder in self._folders())
        return next((one for one in found if one is not None), None)

    def _look(self, place: str) -> bytes | None:
        data, self.looked[place] = self.sheets.look(self.job, place)
        return data

    def _read(self, place: str, model: type[M]) -> M | None:
        data = self._look(place)
        if data is None:
            return None
        key = (model, self.looked[place])
        if key not in self.sheets.models:
            tree = parse_tree(data, place).tree
            self.sheets.models[key] = read_model(tree, place, model).model if tree else None
        made: M | None = self.sheets.models[key]
        return made

    def _products(self, folder: str) -> dict[str, tuple[str, str]]:
        names = (self._look(f"{folder}{CATALOGUES}") or b"").decode("utf-8", "surrogateescape")
        places = [f"{folder}{name}" for name in names.split("\n") if name]
        read = [self._read(place, Catalogue) for place in places]
        key = (dict, *(self.looked[place] for place in places))
        if key not in self.sheets.models:
            found: dict[str, tuple[str, str]] = {}
            for catalogue in read:
                for one in catalogue.products if catalogue else ():
                    # Where two catalogues have a product of one name, the case takes the first.
                    maker = one.maker or (catalogue.maker if catalogue else "")
                    found.setdefault(spelt(one.product), (one.role.value, maker))
            self.sheets.models[key] = found
        products: dict[str, tuple[str, str]] = self.sheets.models[key]
        return products
