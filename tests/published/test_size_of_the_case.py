"""A job of the size this program is for: common practice, no source.

Of one-off builds it is known that an estimate of a little over 26,000 hours ends at about 28,000
once the owner's changes are counted, with about 30 people on a normal working day. All other
figures are ours, worked out by hand below. The job is finished, so that each part ends at what is
booked to it.

| part | estimate | approved | taken out | booked | done again | over or under |
| HULL | 9,000 | | | 9,080 | 40 | 9,080 - 9,000 - 40 = 40 |
| DECK | 6,200 | | | 6,150 | | -50 |
| FIT | 7,000 | | 200 by V3 | 6,880 | | 6,880 - 6,800 = 80 |
| PIPE | 3,900 | | | 3,930 | | 30 |
| V1, fixed price | | 700 | | 730 | | 30 |
| V2, fixed price | | 500 | | 490 | | -10 |
| V4, daywork | | 300 | | 360 | | 60 |
| V5, fixed price, change in law | | 100 | | 100 | | 0 |
| V6, instructed at 120, not approved | | | | 150 | | |
| rain | | | | 60 | | |
| all | 26,100 | 1,600 | 200 | 27,930 | 40 | 100 and 80 |
"""

import html
import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Yard
from tests.published._job import (
    JOB,
    MONDAY,
    TRADE,
    PublishedJob,
    Spent,
    measured,
    package,
    week_day,
)

pytestmark = pytest.mark.slow
WEEKS = 24  # 27,930 h in days of 8 h are 3,491 days: 29 people on each of 120 days.
LAST = week_day(WEEKS)
ESTIMATE = {"HULL": "9000", "DECK": "6200", "FIT": "7000", "PIPE": "3900"}
CHANGES = {
    "V1": ("700", "fixed_price", "owner", "approved"),
    "V2": ("500", "fixed_price", "owner", "approved"),
    "V3": ("-200", "fixed_price", "owner", "approved"),
    "V4": ("300", "daywork", "owner", "approved"),
    "V5": ("100", "fixed_price", "change_in_law", "approved"),
    "V6": ("120", "fixed_price", "owner", "instructed"),
}
BOOKED = [
    Spent("HULL", "9040"),
    Spent("HULL", "40", rework="workmanship"),
    *(Spent(*each) for each in (("DECK", "6150"), ("FIT", "6880"), ("PIPE", "3930"))),
    *(Spent(*each) for each in (("V1", "730"), ("V2", "490"), ("V4", "360"))),
    *(Spent(*each) for each in (("V5", "100"), ("V6", "150"), ("RAIN", "60"))),
]


def terms(yard: Yard) -> None:
    """Let the owner see why the hours changed, and an hour have a price."""
    card = (yard.folder / "job.toml").read_text(encoding="utf-8")
    path = yard.write("job.toml", f"{card}owner_sees_overrun = true\n")
    yard.run("load", "job", path)


def change_files(job: PublishedJob) -> None:
    """Load the six changes with their hours and what was decided, all in the first week."""
    start = {"trade": TRADE, "effective_from": "2026-01-05", "charge_per_hour": "80.00"}
    asked = {"requested_by": "Ivo Sandt", "requested_on": MONDAY.isoformat()}
    job.load("charge-rates", [start])
    job.load(
        "changes",
        [
            asked | {"change": code, "title": code, "change_basis": basis, "origin": origin}
            for code, (_, basis, origin, _) in CHANGES.items()
        ],
    )
    labour = {"price_kind": "labour", "description": "Labour", "trade": TRADE}
    job.load(
        "change-lines",
        [
            labour | {"change": code, "hours": hours, "work_package": "FIT" if code == "V3" else ""}
            for code, (hours, *_) in CHANGES.items()
        ],
    )
    job.load(
        "change-events",
        [
            {"change": code, "event": event, "date": week_day(1, day).isoformat(), "person": "Ivo"}
            for code, (*_, decided) in CHANGES.items()
            for day, event in ((2, "submitted"), (3, decided))
        ],
    )


@pytest.fixture(scope="module")
def built(new_yard: Callable[[], Yard]) -> tuple[Yard, PublishedJob]:
    """The job, finished."""
    yard = new_yard()
    job = PublishedJob(yard, LAST)
    terms(yard)
    job.load("estimate", [package(code, ms, MONDAY, LAST) for code, ms in ESTIMATE.items()])
    job.freeze()
    change_files(job)
    job.spend(BOOKED, LAST)
    done = (*ESTIMATE, "V1", "V2", "V4", "V5")
    job.load("progress", [measured(code, LAST, percent="100") for code in done])
    return yard, job


def amounts(found: dict[str, Any]) -> dict[str, int]:
    return {name: int(amount) for name, amount in found.items() if amount}


def test_steps_and_shares_of_a_job_of_that_size(built: tuple[Yard, PublishedJob]) -> None:
    """From 26,100 h to 27,930: who asked for the 1,830 between them, and who bears them."""
    overrun = built[1].overrun(LAST)
    steps = {row["step"]: row["amount"] for row in overrun["steps"]}

    assert amounts(steps) == {
        "original_budget": 26_100,
        "approved_variations": 1_600,  # 700 + 500 + 300 + 100
        "omissions": -200,
        "over_under_on_variations": 80,  # 30 - 10 + 60
        "unapproved_changes": 150,  # V6: more than the 120 of its price
        "rework": 40,
        "over_under_on_original_work": 100,  # 40 - 50 + 80 + 30
        "non_productive": 60,
        "anticipated_final": 27_930,
    }
    # The owner: V1 700, V2 500, V3 -200, V4 300 + 60 as daywork, V6 150. The yard: over and under
    # on V1 and V2 30 - 10, the original work 100, rework 40.
    assert amounts(overrun["asked_by"]) == {
        "owner": 1_510,
        "yard": 160,
        "change_in_law": 100,
        "unforeseen_condition": 60,  # rain, by its cause
    }
    # The owner: as asked for without V6, with the change in law: 1,510 - 150 + 100. The yard: as
    # asked by it, and the rain.
    assert amounts(overrun["borne_by"]) == {
        "owner": 1_460,
        "instructed_price_open": 150,
        "yard": 220,
    }
    # (1,600 - 200) / 26,100 and (1,600 + 200) / 26,100.
    assert overrun["net_growth_percent"] == Decimal("5.363985")
    assert overrun["total_change_percent"] == Decimal("6.896552")


def test_the_owners_sentence_says_the_same(
    built: tuple[Yard, PublishedJob], tmp_path: Path
) -> None:
    """Hours above the estimate, asked for, paid, not charged and open, as the steps have them."""
    out = tmp_path / "variations.html"
    words = ("--job", JOB, "--status-date", LAST, "--out", out)
    built[0].run("report", "variations", *words)
    text = html.unescape(re.sub(r"<[^>]*>", "", out.read_text(encoding="utf-8")))

    assert (
        "This job is expected to take 1 830 hours more than estimated: 1 510 of them arise from "
        "your requests, you pay for 1 460, 220 are not charged and 150 are still to be decided."
    ) in " ".join(text.split())
