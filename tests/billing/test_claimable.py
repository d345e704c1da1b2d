"""What may be claimed of a job, line by line, and what is left out and why."""

from decimal import Decimal
from typing import Any

import pytest

from tests.billing._job import CARD, CHARGE_RATES, ClaimedJob, claimed
from tests.conftest import Yard, book_made_by, slow_beyond

Lines = list[tuple[str, str | None, Decimal]]
DAY = "2026-03-13"
STAGES = """
[[stage_payments]]
name = "Frame up"
percent = 40
packages = ["P1"]

[[stage_payments]]
name = "Hand-over"
amount = "6000.00"
packages = ["P2"]
"""


def lines(found: Any) -> Lines:
    """Return the kind, the change and the value to date of each line."""
    return [(each["claim_kind"], each["change"], each["to_date"]) for each in found["lines"]]


def left_out(found: Any) -> list[tuple[str, str, Decimal | None]]:
    """Return what is left out, why, and the amount."""
    return [(each["change"], each["reason"], each["amount"]) for each in found["left_out"]]


def fixed_price(yard: Yard) -> None:
    """Make a job of 10,000.00 on a fixed price."""
    claimed(yard, "10000.00")


@pytest.fixture
def job(yard: Yard) -> ClaimedJob:
    """A job of 10,000.00 on a fixed price."""
    yard.book.write_bytes(book_made_by(fixed_price))
    return ClaimedJob(yard)


def test_what_has_no_percentage_is_left_out_at_the_share_measured(job: ClaimedJob) -> None:
    """The base at 25 % of its hours, a change that is done at its price; what is typed counts."""
    job.change("V1", "1,lot,400", "labour,craft,10")
    job.load("progress", "work_package,date,percent\nP1,2026-02-27,50\nV1,2026-02-27,100\n")
    before = job.claimable(DAY)
    job.percents("Base,2026-02-27,25,,", "v1,2026-02-27,,450,")
    after = job.claimable(DAY)

    # 50 of 200 h of the base; 400 + 10 h at 50.
    assert left_out(before) == [
        ("base", "no_claim_percent", Decimal(2500)),
        ("V1", "no_claim_percent", Decimal(900)),
    ]
    assert lines(before) == []
    assert lines(after) == [("base", None, Decimal(2500)), ("variation", "V1", Decimal(450))]
    assert (left_out(after), after["total"]) == ([], Decimal(2950))


@pytest.mark.slow
def test_stages_and_the_omission_that_goes_with_its_stage(yard: Yard) -> None:
    """An omission of a stage's package is credited as the stage is claimed, whole once it is."""
    job = claimed(yard, "10000.00", STAGES)
    job.change("V1", "labour,craft,-10,P2")
    job.percents("frame up,2026-02-27,100,,")
    early = job.claimable("2026-02-27")
    job.percents("Hand-over,2026-03-06,50,,")
    later = job.claimable("2026-03-06")
    job.percents("Hand-over,2026-03-13,,6000,")

    assert lines(early) == [("stage", None, Decimal(4000))]
    assert left_out(early) == [("Hand-over", "not_reached", Decimal(6000))]
    # 10 h at 50 are omitted, half of it with half of its stage.
    assert lines(later)[1:] == [("stage", None, Decimal(3000)), ("omission", "V1", Decimal(-250))]
    assert lines(job.claimable(DAY))[2] == ("omission", "V1", Decimal(-500))


def test_daywork_is_claimed_from_its_agreed_sheets(job: ClaimedJob) -> None:
    """By trade, hours and rate; what no sheet agrees is left out, work done again is neither."""
    job.change("D1", "labour,craft,20", basis="daywork")
    job.work("2026-02-02,8,D1,", "2026-02-03,6.5,D1,", "2026-02-09,4,D1,", "2026-02-10,3,D1,own")
    job.sign("S1", "D1", "2026-02-02", "2026-02-03")
    found = job.claimable(DAY)
    (line,) = found["lines"]

    assert (line["quantity"], line["unit"], line["unit_price"]) == (Decimal("14.5"), "h", 50)
    assert lines(found) == [("daywork", "D1", Decimal(725))]
    assert ("D1", "unsigned_daywork", Decimal(200)) in left_out(found)


@pytest.mark.slow
def test_daywork_on_a_sheet_is_signed_though_its_rate_is_lower_now(job: ClaimedJob) -> None:
    """What a sheet agreed stays at its rate, and nothing is left unsigned, above or below 0."""
    job.change("D1", "labour,craft,20", basis="daywork")
    job.work("2026-02-02,8,D1,")
    job.sign("S1", "D1", "2026-02-02", "2026-02-03")
    job.load("charge-rates", CHARGE_RATES.replace(",50", ",45"))
    found = job.claimable(DAY)

    assert lines(found) == [("daywork", "D1", Decimal(400))]
    assert [each for each in left_out(found) if each[0] == "D1"] == []


@pytest.mark.slow
def test_nothing_is_claimed_on_account_of_a_change_withdrawn(job: ClaimedJob) -> None:
    """It was never ordered, and the yard took it back."""
    disputed = ("V1,submitted,2026-01-13", "V1,disputed,2026-01-20")
    job.change("V1", "1,lot,400", events=disputed)
    job.percents("V1,2026-02-02,,150,yes")
    job.events("V1,withdrawn,2026-02-10")

    assert lines(job.claimable(DAY)) == []


@pytest.mark.slow
def test_daywork_above_its_cap_is_not_claimed(job: ClaimedJob) -> None:
    """20 h at 50 were approved not to exceed; 22 h are agreed, and 100.00 of them left out."""
    job.change("D1", "labour,craft,20", basis="daywork", events=("D1,approved,2026-01-13,,yes",))
    job.work("2026-02-02,11,D1,", "2026-02-03,11,D1,")
    job.sign("S1", "D1", "2026-02-02", "2026-02-03")
    capped = job.claimable(DAY)
    job.events("D1,value_agreed,2026-03-10,,,1030")
    agreed = job.claimable(DAY)

    assert lines(capped) == [("daywork", "D1", Decimal(1100)), ("daywork", "D1", Decimal(-100))]
    assert ("D1", "over_cap", Decimal(100)) in left_out(capped)
    assert lines(agreed) == [("daywork", "D1", Decimal(1030))]


# Events of a change of 400.00, and why it is left out.
OPEN = [
    (("V1,submitted,2026-01-13", "V1,instructed,2026-01-14"), "instructed_price_open", True),
    (("V1,submitted,2026-01-13",), "not_approved", False),
    (("V1,submitted,2026-01-13", "V1,disputed,2026-01-14"), "disputed", True),
    (("V1,submitted,2026-01-13,2026-01-20",), "lapsed", False),
    (("V1,submitted,2026-01-13", "V1,declined,2026-01-14"), None, False),
]


@pytest.mark.parametrize(("events", "reason", "may"), slow_beyond(2, OPEN))
def test_what_is_not_approved_is_left_out_or_claimed_on_account(
    job: ClaimedJob, events: tuple[str, ...], reason: str | None, may: bool
) -> None:
    """With the reason and its price; what is instructed or disputed may be claimed on account."""
    job.change("V1", "1,lot,400", events=events)
    before = job.claimable(DAY)
    job.percents("V1,2026-02-27,,150,yes", ok=may)

    expected = [("V1", reason, Decimal(400))] if reason else []
    assert [each for each in left_out(before) if each[0] == "V1"] == expected
    assert lines(job.claimable(DAY)) == [("on_account", "V1", Decimal(150))] * may


@pytest.mark.slow
def test_a_provisional_sum_is_claimed_as_it_is_spent(yard: Yard) -> None:
    """A percentage of the base leaves it out; what an approved change spends is claimed in full."""
    job = claimed(yard, "10000.00", '[[provisional_sums]]\nname = "Lights"\namount = "800.00"\n')
    job.change("V1", "1,lot,1000,,Lights")
    job.percents("base,2026-02-27,50,,", "V1,2026-02-27,100,,")

    # Half of 9,200.00.
    assert lines(job.claimable(DAY)) == [
        ("base", None, Decimal(4600)),
        ("provisional", "V1", Decimal(1000)),
    ]


@pytest.mark.slow
def test_stage_payments_leave_provisional_sums_out(yard: Yard) -> None:
    """A percentage is of the contract sum without them; stages above that are refused."""
    sums = '[[provisional_sums]]\nname = "Lights"\namount = "800.00"\n'
    stage = '[[stage_payments]]\nname = "All"\npercent = 100\n'
    job = claimed(yard, "10000.00", sums + stage)
    job.percents("all,2026-02-27,100,,")
    again = CARD.format(contract_sum="10000.00", terms=sums + f"{stage}{STAGES}")
    said = yard.run("load", "job", yard.write("job.toml", again), ok=False).stderr

    assert lines(job.claimable(DAY)) == [("stage", None, Decimal(9200))]
    assert "stage payments are above the contract sum less provisional sums, 9200.00" in said


def test_the_contract_sum_in_force_on_the_day_is_claimed(job: ClaimedJob) -> None:
    """A baseline change that sets the contract sum moves the base from its day on."""
    head = "name,date,person,reference,work_package,trade,hours,contract_sum\n"
    rows = "B1,2026-03-02,Owner,letter,P1,craft,5,12000\nB1,2026-03-02,Owner,letter,P2,craft,-5,\n"
    job.load("baseline-changes", head + rows)
    job.percents("base,2026-02-27,50,,")

    assert lines(job.claimable("2026-03-01")) == [("base", None, Decimal(5000))]
    assert lines(job.claimable(DAY)) == [("base", None, Decimal(6000))]
    assert "above the sum agreed, 12000.00" in job.percents("base,2026-03-03,,12000.01,", ok=False)


@pytest.mark.slow
def test_an_amount_typed_is_claimed_no_further_than_the_sum_is(job: ClaimedJob) -> None:
    """The contract sum is lowered to 9,000.00 after 10,000.00 were typed as claimed."""
    head = "name,date,person,reference,work_package,trade,hours,contract_sum\n"
    rows = "B1,2026-03-02,Owner,letter,P1,craft,5,9000\nB1,2026-03-02,Owner,letter,P2,craft,-5,\n"
    job.percents("base,2026-02-27,,10000,")
    job.load("baseline-changes", head + rows)

    assert lines(job.claimable(DAY)) == [("base", None, Decimal(9000))]


def test_a_value_agreed_of_daywork_holds_what_the_change_takes_out(job: ClaimedJob) -> None:
    """All claimed comes to the adjusted sum: the omission is not credited a second time."""
    job.change("D1", "labour,craft,10", "labour,craft,-4,P1", basis="daywork")
    job.events("D1,value_agreed,2026-03-02,,,700")
    job.percents("base,2026-02-27,100,,")
    found = job.claimable(DAY)
    shown = job.yard.json("changes", "--job", job.job, "--status-date", DAY)

    assert lines(found)[1:] == [("daywork", "D1", Decimal(700))]
    assert found["total"] == shown["adjusted_sum"]


@pytest.mark.slow
def test_a_job_by_the_hour_is_claimed_from_its_hours(yard: Yard) -> None:
    """Hours on packages at the rates of the day, work done again left out."""
    job = claimed(yard, "10000.00", 'contract_basis = "time_charge"')
    job.work("2026-02-02,8,P1,", "2026-02-03,6,P2,", "2026-02-04,2,P2,own")
    (line,) = job.claimable(DAY)["lines"]

    assert (line["claim_kind"], line["quantity"], line["to_date"]) == ("base", 14, Decimal(700))


RETENTION = """
delivered_on = 2026-03-10
[retention]
percent = 10
applies_to = ["base"]
[[retention.release]]
percent = 50
at = "delivery"
[[retention.release]]
percent = 50
at = "defects_end"

[advance]
amount = "500.00"
recovery_percent = 10
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("day", "released", "net"), [("2026-03-09", 0, 4_000), ("2026-03-10", 250, 4_250)]
)
def test_retention_and_advance_are_deducted(yard: Yard, day: str, released: int, net: int) -> None:
    """10 % of the base is held and half of it released at delivery; the advance is recovered."""
    job = claimed(yard, "10000.00", RETENTION)
    job.percents("base,2026-02-27,50,,")
    found = job.claimable(day)

    # 5,000 less 500 kept and the 500 of the advance, of which 10 % of the value are recovered.
    assert found["retention_released"] == released
    assert found["net_to_date"] == net


NEITHER = "give a percent or an amount, not both"
KNOWN = "use base, or a change requested by the date"
# A row of claim-percents, and why it is refused.
REFUSED = [
    ("base,2026-02-27,50,100,", NEITHER),
    ("base,2026-02-28,,10000.01,", "amount 10000.01 is above the sum agreed, 10000.00"),
    ("base,2026-03-01,50,,yes", "on_account is for changes that are not approved; leave it blank"),
    ("P1,2026-02-27,50,,", f'unknown item "P1"; {KNOWN}'),
    ("V1,2026-01-11,50,,", f'unknown item "V1"; {KNOWN}'),
    (
        "V1,2026-01-14,50,,",
        "V1 is submitted on 2026-01-14, not approved; claim an amount with "
        "on_account yes, or wait for the approval",
    ),
    ("V1,2026-02-27,,400.01,", "amount 400.01 is above the sum agreed, 400.00"),
    ("V1,2026-02-28,,100,yes", "V1 is approved on 2026-02-28; leave on_account blank"),
    (
        "V1,2026-01-15,50,,yes",
        "V1 is submitted and not instructed on 2026-01-15; only instructed or disputed work is "
        "claimed on account",
    ),
    ("D1,2026-02-27,50,,", "D1 is daywork: it is claimed from its agreed sheets"),
    ("N1,2026-02-27,50,,", "N1 is without charge; leave it out"),
]


def test_what_may_not_be_claimed_is_refused_with_its_line(job: ClaimedJob) -> None:
    """Every row that does not fit is named, and none is loaded."""
    job.change("V1", "1,lot,400", events=("V1,submitted,2026-01-13", "V1,approved,2026-01-20"))
    job.change("D1", "labour,craft,20", basis="daywork")
    job.change("N1", "labour,craft,20", basis="no_charge")
    said = job.percents(*(row for row, _ in REFUSED), ok=False).splitlines()

    assert said[:-1] == [
        f"claim-percents.csv:{line}: {why}" for line, (_, why) in enumerate(REFUSED, start=2)
    ]
    assert job.yard.rows(job.yard.run("show", "claim_percent", "--format", "csv").stdout) == []
