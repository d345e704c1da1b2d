"""The contract's hours and sum beside each other, by how the job is paid."""

from dataclasses import replace

from ledger.reports.owner.tables import contract_table
from tests.reports._landing import LANDING


def test_hours_over_the_estimate_have_a_price_where_hours_are_paid() -> None:
    """They are not said to be without one, and what they come to has a line of its own."""
    fixed = [str(row.cells[0]) for row in contract_table(LANDING).rows]
    by_the_hour = replace(LANDING, job=replace(LANDING.job, contract_basis="time_charge"))
    paid = [str(row.cells[0]) for row in contract_table(by_the_hour).rows]

    assert "Hours with no price effect" in fixed
    assert "Time beyond the estimate" not in fixed
    assert "Hours over or under the estimate" in paid
    assert "Time beyond the estimate" in paid
    assert "Hours with no price effect" not in paid
