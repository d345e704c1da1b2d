"""What is owed of invoices adds up, whatever is paid, taken off and accepted."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.domain.receivables import BANDS, Balance, Payment, aged
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
        Balance,
        document=st.just("R-1"),
        issued_on=st.just(DAY),
        due_on=st.none() | st.integers(0, 200).map(lambda days: DAY + timedelta(days)),
        currency=st.just("EUR"),
        invoiced=st.decimals(0, 9999, places=2),
        credited=st.decimals(0, 9999, places=2),
        payments=payments.map(tuple),
    ),
    max_size=5,
)


@pytest.mark.parametrize("examples", slow_beyond(1, [20, 400]))
def test_bands_add_to_what_is_outstanding(examples: int) -> None:
    """Each invoice is in one band; what is disputed is between 0 and what is outstanding."""

    @settings(max_examples=examples, deadline=None)
    @given(balances, st.integers(-10, 400).map(lambda days: DAY + timedelta(days)))
    def adds_up(found: list[Balance], day: date) -> None:
        rows = aged(found, day)
        total = sum((each.outstanding for each in found), Decimal(0))

        assert [row.band for row in rows] == list(BANDS)
        assert sum(row.outstanding for row in rows) == total
        assert sum(row.disputed for row in rows) == sum(each.disputed for each in found)
        assert all(each.disputed >= 0 for each in found)
        assert all(each.disputed <= max(Decimal(0), each.outstanding) for each in found)
        for each in found:
            paid = sum((p.amount for p in each.payments), Decimal(0))
            agreed = sum((p.deducted for p in each.payments if p.accepted), Decimal(0))
            assert each.outstanding == each.invoiced - each.credited - paid - agreed

    adds_up()
