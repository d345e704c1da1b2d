"""What the demo yard bills the ferry: claims, their invoices, and what the society paid.

Days are the yard's weeks and weekdays, as in `_changes`. Nothing is certified: an invoice stands
for its claim in full.
"""

from dataclasses import dataclass

from tests.demo._changes import Day


@dataclass(frozen=True)
class Claim:
    """A claim to a day, the percent of each item that it goes by, and the day it is billed."""

    number: int
    to: Day
    percents: dict[str, int]
    billed: Day


@dataclass(frozen=True)
class Payment:
    """What was paid of an invoice, and what the society took off it."""

    invoice: str
    paid: Day
    amount: str
    reference: str
    deducted: str = ""
    deduction_kind: str = ""
    reason: str = ""


JOB = "FERRY"
CLAIMS = (
    Claim(1, (11, 6), {"base": 14}, (12, 1)),
    Claim(2, (19, 6), {"base": 34, "CR01": 45}, (20, 2)),
    Claim(
        3,
        (31, 6),
        {"base": 71, "CR01": 100, "CR03": 60, "CR04": 85, "CR14": 100},
        (32, 2),
    ),
)
PAYMENTS = (
    Payment("INV-0001", (15, 3), "212587.20", "transfer 4-31"),
    Payment(
        "INV-0002",
        (24, 4),
        "309402.19",
        "transfer 6-58",
        "3200.00",
        "set_off",
        "hire of a crane at the north landing, said to be the yard's to pay",
    ),
    Payment("INV-0003", (36, 4), "500000.00", "transfer 9-12"),
)
