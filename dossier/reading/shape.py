"""The ways in which a file can fail to be read at all: each declared once, each an item when found.

In: a place and the words of one finding. Out: an `Item`. Must not know any rule of the trade. A shape
fault holds everything, since nothing can be judged from a record that cannot be read.
"""

from dataclasses import dataclass

from dossier.punchlist import Holds, Item, Party, Verdict, Weight, Where
from dossier.said import Said, as_said

OWN_SOURCE = "How this tool reads records: docs/record.md"


@dataclass(frozen=True)
class ShapeFault:
    """One way in which a file or field cannot be read."""

    id: str
    title: str
    why: str
    remedy: str
    verdict: Verdict = Verdict.WRONG

    def at(self, where: Where, says: Said | str, remedy: str | None = None) -> Item:
        """Return the item for one finding of this fault."""
        return Item(
            rule=self.id,
            weight=Weight.HOLDS,
            verdict=self.verdict,
            says=as_said(says),
            why=Said(self.why),
            source=OWN_SOURCE,
            owed_by=Party.OFFICE,
            remedy=as_said(remedy) if remedy else Said(self.remedy),
            holds=frozenset(Holds),
            due=None,
            where=where,
        )


CANNOT_OPEN = ShapeFault(
    "SHP-001",
    "A file that is needed cannot be opened",
    "Nothing can be judged from a file that does not open.",
    "Put the file back, or give this user the right to read it.",
    Verdict.MISSING,
)
TOO_LARGE = ShapeFault(
    "SHP-002",
    "A record file is over the size limit",
    "A record is typed by hand; a file this large is something else under that name.",
    "Put the record back under this name.",
)
NOT_UTF8 = ShapeFault(
    "SHP-003",
    "A record file is not UTF-8 text",
    "Bytes in another encoding would print names and places wrongly for thirty years.",
    "Save the file again with encoding UTF-8.",
)
CONTROL_CHARACTER = ShapeFault(
    "SHP-004",
    "A record holds a control character",
    "A character that cannot be seen cannot be checked by the person who signs.",
    "Delete the character at that place and type the text again.",
)
NOT_YAML = ShapeFault(
    "SHP-005",
    "A record does not parse as YAML",
    "Until the file parses, nobody knows what it says.",
    "Mend the line; a value with a colon followed by a space belongs in quotes.",
)
NOT_PLAIN = ShapeFault(
    "SHP-006",
    "A record uses anchors, aliases or tags",
    "A record says what it says where it stands; a few such lines can also grow to gigabytes.",
    "Write the value out in full at each place.",
)
TWICE = ShapeFault(
    "SHP-007",
    "A field is given twice",
    "Which of the two was meant cannot be told.",
    "Delete one of the two lines.",
)
TOO_DEEP = ShapeFault(
    "SHP-008",
    "A record is nested too deep",
    "No record needs so many levels; something was indented by mistake.",
    "Indent the lines as in the blank record that dossier start writes.",
)
EMPTY = ShapeFault(
    "SHP-009",
    "A record file is empty",
    "An empty file says nothing about the job.",
    "Fill the file in; dossier start writes a blank one to copy.",
    Verdict.MISSING,
)
UNKNOWN_FIELD = ShapeFault(
    "SHP-010",
    "A field is not one the record knows",
    "A misspelt field would be left out of every document without a word.",
    "Correct the name of the field; docs/record.md lists them all.",
)
FIELD_MISSING = ShapeFault(
    "SHP-011",
    "A field that every record needs is blank or not there",
    "Without it the rest cannot be placed.",
    "Fill the field in.",
    Verdict.MISSING,
)
UNREADABLE_VALUE = ShapeFault(
    "SHP-012",
    "A value cannot be read as what the field needs",
    "A value that cannot be read cannot be used, and guessing would put words in somebody's mouth.",
    "Correct the value.",
)
NEWER_RECORD = ShapeFault(
    "SHP-013",
    "The record was written for a newer version of this tool",
    "A newer record may say things that this version would silently leave out.",
    "Install the newer version of dossier.",
)
NO_REASON = ShapeFault(
    "SHP-014",
    "A field is not applicable and no reason is given",
    "“Does not apply” is an answer, and in ten years only the reason will show that somebody looked.",
    "Write the reason behind it: n/a, no valleys on this roof.",
)
LEAVES_FOLDER = ShapeFault(
    "SHP-015",
    "A file path leads out of the job folder",
    "Papers outside the folder do not travel with the job and may belong to another.",
    "Copy the file into the job folder and name it there.",
)
UNKNOWN_SHEET = ShapeFault(
    "SHP-016",
    "The job names a sheet that the office folder does not have",
    "Deadlines, conditions and code figures come from that sheet.",
    "Correct the name, or type the sheet in; docs/sheets.md says how.",
    Verdict.MISSING,
)

TICKET_LINE = ShapeFault(
    "SHP-017",
    "A line of a supplier's ticket cannot be placed",
    "What was delivered decides whether the roof could be built as the record says; a guess would decide it "
    "wrongly.",
    "Before --yes: add the product to a catalogue, or its code to the supplier's sheet, and gather the ticket "
    "again. Once the ticket is in job.yaml: type this line in there, or delete its delivery and then gather "
    "again.",
    Verdict.MISSING,
)

SHAPE_FAULTS: tuple[ShapeFault, ...] = (
    CANNOT_OPEN,
    TOO_LARGE,
    NOT_UTF8,
    CONTROL_CHARACTER,
    NOT_YAML,
    NOT_PLAIN,
    TWICE,
    TOO_DEEP,
    EMPTY,
    UNKNOWN_FIELD,
    FIELD_MISSING,
    UNREADABLE_VALUE,
    NEWER_RECORD,
    NO_REASON,
    LEAVES_FOLDER,
    UNKNOWN_SHEET,
    TICKET_LINE,
)
