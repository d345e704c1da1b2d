"""What is owed of invoices adds up, whatever is paid, taken off and accepted."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.domain.receivables import (
    BANDS,
    RETENTION,
    Aged,
    Held,
    InvoiceBalance,
    Payment,
    aged,
    overdue,
)
from tests.conftest import slow_beyond

DAY = date(2026, 3, 1)
amounts = st.decimals(-999, 9999, places=2)
taken_off = st.decimals(0, 500, places=2)
payments = st.lists(
    st.builds(
        Payment,
        number=st.just(1),
        invoice=st.just("R-1"),
        day=st.just(DAY),
        amount=amounts,
        deducted=taken_off,
        accepted=st.booleans(),
    ),
    max_size=4,
)
balances = st.lists(
    st.builds(
        InvoiceBalance,
        document=st.just("R-1"),
        issued_on=st.just(DAY),
        due_on=st.none() | st.integers(0, 200).map(lambda days: DAY + timedelta(days)),
        currency=st.just("EUR"),
        invoiced=st.decimals(0, 9999, places=2),
        credited=st.decimals(0, 9999, places=2),
        payments=payments.map(tuple),
        held=st.lists(
            st.builds(Held, st.decimals(0, 999, places=2), st.none() | st.just(DAY)), max_size=2
        ).map(tuple),
    ),
    max_size=5,
)


@pytest.mark.parametrize("examples", slow_beyond(1, [20, 400]))
def test_bands_add_to_what_is_outstanding(examples: int) -> None:
    """What is owed is in one band, or held; disputed is between 0 and what is outstanding."""

    @settings(max_examples=examples, deadline=None)
    @given(balances, st.integers(-10, 400).map(lambda days: DAY + timedelta(days)))
    def adds_up(found: list[InvoiceBalance], day: date) -> None:
        rows = aged(found, day)
        total = sum((each.outstanding for each in found), Decimal(0))

        held = sum((each.retained(day) for each in found), Decimal(0))

        assert [row.band for row in rows] == [*BANDS, *([RETENTION] if held else [])]
        assert sum(row.outstanding for row in rows if row.band == RETENTION) == held
        assert sum(row.outstanding for row in rows) == total
        assert sum(row.disputed for row in rows) == sum(each.disputed for each in found)
        assert all(each.disputed >= 0 for each in found)
        assert all(each.disputed <= max(Decimal(0), each.outstanding) for each in found)
        for each in found:
            paid = sum((p.amount for p in each.payments), Decimal(0))
            agreed = sum((p.deducted for p in each.payments if p.accepted), Decimal(0))
            assert each.outstanding == each.invoiced - each.credited - paid - agreed

    adds_up()


RELEASED = date(2026, 6, 10)
# What is paid of 1,000.00, due on 1 March, of which 30.00 are held until 10 June and 20.00 longer.
HELD = [
    ("0", "2026-03-20", {"1_30": 950, RETENTION: 50}, 19),
    ("950", "2026-03-20", {RETENTION: 50}, 0),
    ("960", "2026-06-09", {RETENTION: 40}, 0),
    ("950", "2026-06-10", {"not_due": 30, RETENTION: 20}, 0),
    ("950", "2026-06-20", {"1_30": 30, RETENTION: 20}, 10),
    ("100", "2026-06-20", {"over_90": 850, "1_30": 30, RETENTION: 20}, 111),
    ("990", "2026-06-20", {RETENTION: 10}, 0),
    ("1000", "2026-06-20", {}, 0),
    ("1200", "2026-06-20", {"over_90": -200}, 0),
]


@pytest.mark.parametrize(("paid", "on", "expected", "days"), HELD)
def test_retention_is_due_at_its_release(
    paid: str, on: str, expected: dict[str, int], days: int
) -> None:
    """Retention that an invoice bears is held, not overdue; released, it ages from that day."""
    day, held = date.fromisoformat(on), (Held(Decimal(30), RELEASED), Held(Decimal(20)))
    payment = Payment(1, "R-1", DAY, Decimal(paid))
    balance = InvoiceBalance("R-1", DAY, DAY, "EUR", Decimal(1000), payments=(payment,), held=held)
    found = {row.band: row.outstanding for row in aged([balance], day) if row.outstanding}

    assert found == expected
    assert balance.days_overdue(day) == days


def test_what_is_overdue_is_due_and_owed() -> None:
    """What is not due or held back does not count, and too much paid is nothing overdue."""
    bands = [
        *(Aged("not_due", Decimal("70.00")), Aged(RETENTION, Decimal("9.00"))),
        *(Aged("1_30", Decimal("5.00")), Aged("over_90", Decimal("2.50"))),
    ]
    paid_twice = [Aged("not_due", Decimal("70.00")), Aged("31_60", Decimal("-50.00"))]

    assert overdue(bands) == Decimal("7.50")
    assert overdue(paid_twice) == 0
