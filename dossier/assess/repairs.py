"""What was done at a repair of the deck, in words and numbers.

In: one `Repair`. Out: a clause. Must not know a price nor who agreed.
"""

from dossier.record.roof import Repair
from dossier.said import Listed, Number, Said, Value, say
from dossier.words import RepairKind


def what_was_done(repair: Repair) -> Said:
    """Return the kind of repair and how much was replaced, or that it is not on record."""
    parts: list[Value] = [repair.kind or say("kind of repair not on record")]
    if repair.sheets is not None:
        of = "{sheets} {sheets:sheet|sheets} of 4 ft by 8 ft"
        parts.append(say(of, sheets=Number(repair.sheets)))
    if repair.board_feet is not None:
        parts.append(say("{feet} board feet", feet=Number(repair.board_feet)))
    counted = repair.kind in (RepairKind.SHEETS_REPLACED, RepairKind.BOARDS_REPLACED, None)
    if len(parts) == 1 and counted:
        parts.append(say("how much is not on record"))
    return say("{parts}", parts=Listed(tuple(parts), ", "))
