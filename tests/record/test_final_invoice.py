"""Which invoice is the final one: the one that says so, or the only one where nothing says that it is not."""

import pytest

from tests.known_good import known_good


@pytest.mark.parametrize(("final", "is_final"), [("yes", True), (None, True), ("no", False)])
def test_a_deposit_is_no_final_invoice(final: str | None, is_final: bool) -> None:
    """A deposit of the whole sum once passed for a job that was invoiced and paid in full."""
    invoice = {"number": "D-1", "on": "2026-08-26", "amount": "5,000.00"}
    invoices = [{**invoice, **({"final": final} if final else {})}]
    money = known_good({"job.money.invoices": invoices}).case.job.money
    assert money is not None
    assert (money.final_invoice() is not None) == is_final
