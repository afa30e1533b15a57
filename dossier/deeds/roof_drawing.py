"""A roof by shapes drawn for a check, written into a new file.

In: a roof by shapes, a job folder. Out: a PDF. Must not work out a length.
"""

from datetime import UTC, date
from pathlib import Path

from dossier.compose.drawings.shape_plan import EdgeInPlan, RoofInPlan, SlopeInPlan, shape_plan
from dossier.deeds.roofing import Roofed
from dossier.deeds.slopes_into import rows_of
from dossier.disk.outputs import refuse_there, write_new_file
from dossier.press.press import moment, print_one
from dossier.reading.nodes import Mapping, Node, Text, parse_tree
from dossier.record.trees import JOB_FILE
from dossier.terms.place import find_office
from dossier.terms.read import COMPANY_FILE, read_company
from dossier.values import Pitch, write_area


def draw(folder: Path, made: Roofed, today: date, pdf: Path, office: Path | None = None) -> None:
    """Write the plan; raises CannotWrite where something stands there, and then leaves nothing."""
    refuse_there(pdf)
    home = office or find_office(folder) or folder
    company = read_company(home).model if (home / COMPANY_FILE).is_file() else None
    number = _number(made) or folder.resolve().name
    page = shape_plan(_in_plan(made), number, company.name if company else "", today)
    write_new_file(pdf, print_one(page, company, home, moment(today, UTC)).data)


def _number(made: Roofed) -> str:
    """Return the job's number as its record has it, also of a record that cannot be read whole yet."""
    node: Node | None = parse_tree(made.into.shown.data or b"", JOB_FILE).tree
    for name in ("job", "number"):
        entry = node.entries.get(name) if isinstance(node, Mapping) else None
        node = entry.value if entry else None
    return node.text if isinstance(node, Text) else ""


def _in_plan(made: Roofed) -> RoofInPlan:
    faces = made.told.faces("front")
    return RoofInPlan(
        slopes=[
            SlopeInPlan(
                slope.label,
                (str(Pitch(slope.rise_in_12)), write_area(slope.area.area_sqft)),
                slope.pieces,
            )
            for slope in made.roof.slopes
        ],
        edges=[
            EdgeInPlan(edge.kind, edge.one, edge.other, length.length_ft)
            for edge, length in made.roof.edges
        ],
        walls=[box.piece for box in made.roof.outlines],
        front=f"Front, faces {faces}" if faces else "Front",
        rows=rows_of(made.slopes),
        sums=made.sums,
        taken=made.taken,
    )
