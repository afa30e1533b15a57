"""The maker’s certificate for this roof: on file, and handed over."""

from collections.abc import Iterator

from dossier.assess.backing import good_papers, paper_backing
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Manner, Party, Sends, SettledBy, Verdict, Weight
from dossier.record.closing import Warranty
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.words import Backing, PaperKind


def is_on_file(case: Case, facts: Facts, warranty: Warranty) -> bool:
    """Return whether the maker's certificate lies among the papers: the one named, whatever it is filed as.

    Where none is named, a certificate or a letter that confirms the registration.
    """
    if warranty.certificate_file:
        papers = [paper for paper in case.papers if paper.file == warranty.certificate_file]
        return any(paper_backing(paper, facts) is not Backing.ABSENT for paper in papers)
    kinds = (PaperKind.CERTIFICATE, PaperKind.REGISTRATION_CONFIRMATION)
    return any(good_papers(case, facts, kind) for kind in kinds)


@rule(
    id="REG-013",
    says="The maker accepted the registration on {accepted}; the certificate is not on file.",
    why="The certificate is what a buyer and the next contractor will ask for.",
    source="Trade practice; no published source",
    owed_by=Party.MAKER,
    remedy="Ask for it, file it as papers/certificate.pdf, and give the owner a copy.",
    asks="Please send us the certificate.",
    settled_by=SettledBy.PAPER,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.received_on": "2026-09-28",
                "job.warranties.0.accepted_on": "2026-10-02",
                "job.warranties.0.confirmation": "KM-7",
            },
            finds="The maker accepted the registration on 2 October 2026; the certificate is not on file.",
        ),
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.received_on": "2026-09-28",
                "job.warranties.0.confirmation": "KM-7",
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.warranties.*.accepted_on": "Until the maker accepts there is no certificate to ask for.",
        "job.warranties.*.certificate_file": ASKED,
    },
)
def certificate_missing(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        accepted = result.asked.warranty.accepted_on
        if accepted is not None and not is_on_file(case, facts, result.asked.warranty):
            yield Fault(
                case.where(f"{result.asked.path}.certificate_file"),
                {"accepted": accepted},
                verdict=Verdict.MISSING,
            )


@rule(
    id="REG-018",
    says="{level} is registered, and nothing shows that the owner was given the certificate.",
    why="An owner who does not have it cannot claim by it, nor hand it to a buyer.",
    source="Trade practice; no published source",
    owed_by=Party.OFFICE,
    remedy="Give the owner the certificate and write warranties.delivered_on.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {
                "job.warranties.0.received_on": "2026-09-28",
                "job.warranties.0.accepted_on": "2026-10-02",
                "job.warranties.0.confirmation": "KM-7",
                "job.papers": [{"file": "papers/warranty-terms.pdf", "kind": "certificate"}],
            },
            finds="Full Assembly is registered, and nothing shows that the owner was given the certificate.",
        ),
        # The letter of confirmation serves as the certificate where it is named as that, whatever else is blank.
        Example(
            {
                "job.warranties.0.certificate_file": "papers/warranty-terms.pdf",
                "job.papers": [
                    {"file": "papers/warranty-terms.pdf", "kind": "registration confirmation"}
                ],
            },
            finds="Full Assembly is registered, and nothing shows that the owner was given the certificate.",
        ),
        # What is not on file cannot be handed on; that it is missing is an item of its own.
        Example(
            {
                "job.warranties.0.received_on": "2026-09-28",
                "job.warranties.0.accepted_on": "2026-10-02",
                "job.warranties.0.confirmation": "KM-7",
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.warranties.*.delivered_on": ASKED,
        "job.warranties.*.accepted_on": "Until it is registered there is nothing to hand over.",
        "job.warranties.*.confirmation": "Until it is registered there is nothing to hand over.",
        "job.warranties.*.certificate_file": "REG-013 asks for it.",
    },
)
def certificate_not_handed_over(
    case: Case, facts: Facts, assessment: Assessment
) -> Iterator[Fault]:
    for result in assessment.asked:
        warranty = result.asked.warranty
        path = f"{result.asked.path}.delivered_on"
        if (
            (warranty.is_accepted or warranty.certificate_file)
            and is_on_file(case, facts, warranty)
            and not warranty.delivered_on
            and not case.reason_not(path)
        ):
            yield Fault(
                case.where(path), {"level": result.level.level.level}, verdict=Verdict.MISSING
            )
