"""Progress claims as they are published: the sums of two claims, one after the other."""

from decimal import Decimal

import pytest

from ledger.reports.figures import number_text
from tests.billing._job import ClaimedJob, claimed
from tests.conftest import Yard

FIRST, SECOND = "2026-02-27", "2026-03-27"


def prints(job: ClaimedJob, to: str, *texts: str) -> bool:
    """Whether the claim to a day prints each of some texts, amounts as pages write them."""
    page = job.page(to)
    return all(text in page for text in texts)


def written(amount: str) -> str:
    return number_text(Decimal(amount))


AT_ONCE = 'omissions_credited = "at_once"'


@pytest.mark.slow
def test_a_second_claim_with_changes_and_an_omission(yard: Yard) -> None:
    """C1: price 900,000, 45 % done, changes +2,540, +2,000, -3,400; 250,000 before; 156,140 due.

    Source: a progress claim in a public worked answer (check value C1). Received before is the
    first claim, of which all was paid.
    """
    job = claimed(yard, "900000.00", AT_ONCE)
    job.percents(f"base,{FIRST},,250000,")
    job.issue(FIRST)
    job.bill(1, FIRST)
    job.change("V1", "1,lot,2540")
    job.change("V2", "1,lot,2000")
    job.change("V3", "-1,lot,3400")
    job.percents(f"base,{SECOND},45,,", f"V1,{SECOND},100,,", f"V2,{SECOND},100,,")
    found = job.claimable(SECOND)
    job.issue(SECOND)
    job.bill(2, SECOND)

    assert found["value_to_date"] == Decimal("406140")
    assert found["certified_before"] == Decimal("250000")
    assert (found["due"], found["total"]) == (Decimal("156140"), Decimal("156140"))
    assert prints(job, SECOND, "Progress claim 2", written("901140.00"), written("156140.00"))
    assert job.claimable(SECOND)["due"] == 0


RETENTION = f"{AT_ONCE}\n[retention]\npercent = 5\n"


@pytest.mark.slow
def test_a_second_claim_with_retention(yard: Yard) -> None:
    """C2: of 635,080.00 to date 5 % are held; 603,326.00 less 520,000.00 before is 83,326.00.

    Computed exactly from 68.40 an hour and 14,500 h (check value C2).
    """
    job = claimed(yard, "991800.00", RETENTION)
    # 95 % of 547,368.42 is 520,000.00.
    job.percents(f"base,{FIRST},,547368.42,")
    job.issue(FIRST)
    job.bill(1, FIRST)
    job.load("charge-rates", "trade,effective_from,charge_per_hour\ncraft,2026-01-01,68.40\n")
    job.change("V1", "labour,craft,1350", "labour,craft,-350,P2")
    job.percents(f"base,{SECOND},60,,", f"V1,{SECOND},,63940,")
    found = job.claimable(SECOND)
    job.issue(SECOND)

    assert found["value_to_date"] == Decimal("635080")
    assert found["retention_held"] == Decimal("31754")
    assert found["net_to_date"] == Decimal("603326")
    assert (found["certified_before"], found["due"]) == (Decimal("520000"), Decimal("83326"))
    assert prints(job, SECOND, written("1060200.00"), written("83326.00"))


FINAL = '[[provisional_sums]]\nname = "Lights"\namount = "9000.00"\n'


@pytest.mark.slow
def test_a_final_account_claimed_in_full(yard: Yard) -> None:
    """C8: 5,000,000 less provisional sums 9,000, instructions 16,500, drawings 1,467, loss 10,000.

    Source: RICS guidance, example structure for a final account, table 6 (check value C8). The sum
    is not spent, so that the base leaves it out; one drawing omits 4,850 and adds 7,300.
    """
    job = claimed(yard, "5000000.00", FINAL)
    job.change("I1", "1,lot,16500")
    job.change("D1", "1,lot,7300", "-1,lot,4850")
    job.change("D2", "-1,lot,983")
    job.change("L1", "1,lot,10000")
    done = (f"{item},{SECOND},100,," for item in ("base", "I1", "D1", "L1"))
    job.percents(*done)
    found = job.claimable(SECOND)
    job.issue(SECOND)
    job.bill(1, SECOND)

    assert found["value_to_date"] == Decimal("5018967")
    assert prints(job, SECOND, written("5018967.00"))
    assert job.claimable(SECOND)["due"] == 0
