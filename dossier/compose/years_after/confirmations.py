"""What the office does before a homeowner is given an answer to a claim, and when it did.

In: a case and its claim. Out: plain words. Must not say what law or a policy asks for: it is the office's own
order of things, since a company that writes first and tells its insurer later may lose its cover.
"""

from dossier.case.case import Case
from dossier.compose.parts.shared import Pair, capital, day
from dossier.record.entry import Claim


def needed_confirmations(case: Case, claim: Claim, excused: frozenset[str]) -> tuple[str, ...]:
    """Return what the office still has to do before the homeowner is given an answer, in plain words.

    excused: fields of the claim said not to apply, with a reason.
    """
    return tuple(
        what
        for field, what in _CONFIRMED.items()
        if getattr(claim, field) is None and not _excused(case, field, excused)
    )


_CONFIRMED = {
    "own_insurer_told_on": "tell the company’s own liability insurer",
    "subcrew_insurer_told_on": "see that the sub-crew’s insurer is told",
    "notice_and_repair_checked_on": "look up the state’s notice-and-repair period",
    "owner_told_on": "tell the owner to protect the house, keep samples, and wait for the maker before "
    "permanent repair",
}


def _excused(case: Case, field: str, excused: frozenset[str]) -> bool:
    """Return whether a confirmation is not needed: there was no sub-crew, or a reason is given."""
    if field != "subcrew_insurer_told_on":
        return False
    return not case.sub_crews or f"claim.{field}" in excused


def confirmations(case: Case, claim: Claim) -> tuple[Pair, ...]:
    """Return what the office has confirmed, and when."""
    return tuple(
        Pair(
            capital(what),
            "there was no sub-crew, by this record"
            if getattr(claim, field) is None and _excused(case, field, frozenset())
            else day(getattr(claim, field), "not yet"),
        )
        for field, what in _CONFIRMED.items()
    )
