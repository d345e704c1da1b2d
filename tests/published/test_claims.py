"""C1, C2 and C9: progress claims with changes, retention and its limit."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.domain.claims import (
    ClaimLine,
    ClaimTerms,
    Retention,
    claim_sums,
    percent_of,
)
from tests.billing._job import claimed
from tests.conftest import Yard

DAY = date(2026, 2, 28)


@pytest.mark.slow
def test_c1_a_progress_claim_with_changes_through_the_commands(yard: Yard) -> None:
    """A price of 900,000 of which 45 % is done, changes of +2,540, +2,000 and -3,400, and 250,000
    received: 156,140 may be claimed; the revised price is 901,140.

    Source: public worked answer of a progress claim [S]. Omissions are credited at once.
    """
    job = claimed(yard, "900000.00", 'omissions_credited = "at_once"')
    job.change("A", "1,lot,2540")
    job.change("B", "1,lot,2000")
    job.change("C", "-1,lot,3400")
    job.percents("base,2026-02-01,45,,", "A,2026-02-01,100,,", "B,2026-02-01,,2000,")
    found = job.claimable("2026-02-28")
    adjusted = yard.json("changes", "--job", job.job)["adjusted_sum"]

    assert [(line["claim_kind"], line["to_date"]) for line in found["lines"]] == [
        ("base", Decimal(405_000)),
        ("variation", Decimal(2_540)),
        ("variation", Decimal(2_000)),
        ("omission", Decimal(-3_400)),
    ]
    assert found["total"] - 250_000 == Decimal(156_140)
    assert adjusted == Decimal(901_140)


def test_c2_retention_and_what_was_certified() -> None:
    """Base 60 % of 991,800 and changes 40,000 less 5 % retention and 520,000 before is 83,326.

    Source: reckoned [C] from our own figures; tax of 21 % on it is 17,498.46, in all 100,824.46.
    """
    original = Decimal("991800.00")
    lines = [
        ClaimLine("base", None, "Contract work", percent_of(original, Decimal(60))),
        ClaimLine("variation", "V", "Changes", Decimal("40000.00")),
    ]
    terms = ClaimTerms(retention=Retention(Decimal(5)))
    sums = claim_sums(terms, original, lines, DAY, Decimal("520000.00"))
    tax = percent_of(sums.due, Decimal(21))

    assert sums.value_to_date == Decimal("635080.00")
    assert sums.retention_held == Decimal("31754.00")
    assert sums.net_to_date == Decimal("603326.00")
    assert sums.due == Decimal("83326.00")
    assert (tax, sums.due + tax) == (Decimal("17498.46"), Decimal("100824.46"))


# Value to date, and the retention kept of it: 5 %, at most 3 % of 4,476,410 = 134,292.30.
RETENTION = [
    ("932585", "46629.25"),
    ("2685846.00", "134292.30"),
    ("2685845.79", "134292.29"),
    ("3000000", "134292.30"),
]


@pytest.mark.parametrize(("value", "kept"), RETENTION)
def test_c9_retention_stops_at_its_limit(value: str, kept: str) -> None:
    """The limit is reached at a value of 2,685,846.00.

    Source: Spon's Civil Engineering Price Book, tender chapter [S]; the third row is reckoned [C].
    """
    terms = ClaimTerms(retention=Retention(Decimal(5), limit_percent=Decimal(3)))
    lines = [ClaimLine("base", None, "", Decimal(value))]
    sums = claim_sums(terms, Decimal(4_476_410), lines, DAY)

    assert sums.retention_held == Decimal(kept)


@pytest.mark.slow
def test_c9_retention_stops_at_its_limit_through_the_commands(yard: Yard) -> None:
    """5 % of 932,585 is 46,629.25; of 3,000,000 the limit is kept, 3 % of 4,476,410 = 134,292.30.

    Source: Spon's Civil Engineering Price Book, tender chapter [S].
    """
    job = claimed(yard, "4476410.00", "[retention]\npercent = 5\nlimit_percent = 3\n")
    job.percents("base,2026-02-01,,932585,", "base,2026-03-01,,3000000,")
    held = [job.claimable(day)["retention_held"] for day in ("2026-02-28", "2026-03-27")]

    assert held == [Decimal("46629.25"), Decimal("134292.30")]
