"""Prices of changes by all kinds of lines: what is refused, what foots, what the owner reads."""

import json
from decimal import Decimal
from typing import Any

import pytest

from tests._stage import JOB, SAMPLE, batches, load
from tests.conftest import Yard, slow_beyond
from tests.inputs._moves import freeze

CHANGES = """
    change,title,requested_by,requested_on,change_basis
    CR1,Bench,Jonna,2026-03-09,fixed_price
    CR2,Repair,Jonna,2026-03-09,daywork
"""
COLUMNS = (
    *("change", "price_kind", "description", "trade", "hours", "quantity", "unit_price"),
    *("addition_percent", "addition_on", "addition_of", "addition_method", "provisional_sum"),
    *("owner_text", "work_package"),
)
RAIL = {"price_kind": "material", "quantity": "10", "unit_price": "25.00"}
TERMS = """
[daywork]
labour_percent = 120
material_percent = 15
"""
SUMS = """
[[provisional_sums]]
name = "Winch"
amount = "6000.00"
package = "DECK"
"""


def lines(*rows: dict[str, str]) -> str:
    """Return a file of price lines of CR1; each row is given by what it fills in."""
    usual = {"change": "CR1", "description": "Rail"}
    filled = [[{**usual, **row}.get(name, "") for name in COLUMNS] for row in rows]
    return "\n".join(",".join(cells) for cells in [list(COLUMNS), *filled]) + "\n"


def card(yard: Yard, more: str, *, ok: bool = True) -> str:
    """Load the job with more keys at its end."""
    text = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    return yard.run("load", "job", yard.write("job.toml", f"{text}\n{more}"), ok=ok).stderr


@pytest.fixture
def job(stage: Yard) -> Yard:
    """The sample's job, frozen, with its charge rates and two requests."""
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    load(stage, "changes", CHANGES)
    return stage


def amounts(yard: Yard, change: str = "CR1", revision: int = 1) -> list[str]:
    """Return the amounts of a price line by line, and the price."""
    prices = yard.json("show", "change", "--job", JOB, change)["prices"]
    shown = next(each for each in prices if each["revision"] == revision)
    return [f"{each:.2f}" for each in [*(e["amount"] for e in shown["lines"]), shown["price"]]]


def owners(yard: Yard, change: str) -> dict[str, Any]:
    """Return a change's details as the owner's statement holds them."""
    out = yard.folder / "page.json"
    words = ("--job", JOB, "--status-date", "2026-03-20", "--out", out)
    yard.run("report", "variations", *words)
    details = json.loads(out.read_text(encoding="utf-8"), parse_float=Decimal)["details"]
    found: dict[str, Any] = next(each for each in details if each["change"] == change)
    return found


ADDED = {"price_kind": "addition"}
REFUSED = [
    ([RAIL, ADDED], "an addition line needs addition_percent"),
    ([RAIL, {**ADDED, "addition_percent": "8", "quantity": "1"}],
     "an addition line takes no quantity; leave it blank"),
    ([RAIL, {**ADDED, "addition_percent": "100", "addition_on": "price"}],
     "addition_percent 100 of the price leaves nothing for cost; below 100, or "
     "addition_on = cost"),
    ([RAIL, {**ADDED, "addition_percent": "8", "addition_of": "glue"}],
     'addition_of "glue" is unknown; use labour, material, subcontract, plant'),
    ([{**ADDED, "addition_percent": "8"}, RAIL],
     "no line above this addition; put it below what it is on"),
    ([RAIL, {**ADDED, "addition_percent": "8", "addition_of": "labour plant"}],
     "no line of labour, plant above this addition; put it below what it is on"),
    ([{**RAIL, "addition_percent": "8", "addition_method": "compound"}],
     "addition_method belongs to a line of kind addition, not to material; leave it blank"),
    ([{**RAIL, "addition_on": "price"}], "addition_on needs addition_percent"),
    ([{**RAIL, "addition_percent": "-5"}], 'addition_percent "-5" is negative; use zero or more'),
    ([{**RAIL, "provisional_sum": "Winch"}],
     "job STAGE has no provisional sums; name them in its job.toml first"),
    ([{**RAIL, "hours": "4"}],
     "a material line takes no hours; leave them blank, or use price_kind labour"),
    ([{"price_kind": "labour", "trade": "carpenter", "hours": "4", "unit_price": "9.00"}],
     "hours are priced at charge rates; leave quantity and unit_price blank, or leave hours blank "
     "for a premium"),
    ([{"price_kind": "labour", "trade": "carpenter", "quantity": "4"}],
     "a labour line without hours needs quantity and unit_price"),
]  # fmt: skip


@pytest.mark.parametrize(("rows", "message"), slow_beyond(2, REFUSED))
def test_a_line_that_does_not_fit_its_kind_is_refused(
    job: Yard, rows: list[dict[str, str]], message: str
) -> None:
    """What a line says that belongs to another kind, or lacks, is refused and nothing loaded."""
    before = batches(job)
    said = load(job, "change-lines", lines(*rows), ok=False).splitlines()

    assert [line.partition(": ")[2] for line in said[:-1]] == [message]
    assert batches(job) == before


def test_additions_are_on_the_kinds_and_lines_above_them(job: Yard) -> None:
    """An addition takes the lines above it of its kinds; what stands below it bears none."""
    labour = {"price_kind": "labour", "trade": "carpenter", "hours": "10"}
    handling = {**ADDED, "addition_percent": "15", "addition_of": "material"}
    load(job, "change-lines", lines(labour, RAIL, handling, {**RAIL, "price_kind": "plant"}))

    # 10 h x 60.00; 10 x 25.00; 15 % of 250.00; 250.00 without.
    assert amounts(job) == ["600.00", "250.00", "37.50", "250.00", "1137.50"]


def test_compound_takes_what_was_added_to_its_own_kinds(job: Yard) -> None:
    """A compound addition of one kind is on that kind with its own additions alone."""
    labour = {"price_kind": "labour", "trade": "carpenter", "hours": "10"}
    on_labour = {**ADDED, "addition_percent": "10", "addition_of": "labour"}
    on_material = {
        **ADDED,
        "addition_percent": "10",
        "addition_of": "material",
        "addition_method": "compound",
    }
    load(job, "change-lines", lines(labour, RAIL, on_labour, on_material))

    assert amounts(job) == ["600.00", "250.00", "60.00", "25.00", "935.00"]


@pytest.mark.parametrize(
    ("carry", "expected"),
    slow_beyond(1, [
        (False, ["250.00", "-200.00", "25.00", "75.00"]),
        (True, ["250.00", "-200.00", "25.00", "-20.00", "55.00"]),
    ]),
)  # fmt: skip
def test_additions_and_omissions_of_one_change_are_kept_apart(
    job: Yard, carry: bool, expected: list[str]
) -> None:
    """An addition is on what is added; on what is omitted too if the job says so, as a line."""
    card(job, f"omissions_carry_additions = {str(carry).lower()}")
    omitted = {**RAIL, "quantity": "-8"}
    load(job, "change-lines", lines(RAIL, omitted, {**ADDED, "addition_percent": "10"}))

    assert amounts(job) == expected


def test_a_premium_adds_to_the_price_and_not_to_the_hours(job: Yard) -> None:
    """Labour without hours is an amount typed: 10 h of premium add no hours to the baseline."""
    labour = {"price_kind": "labour", "trade": "carpenter", "hours": "10"}
    premium = {"price_kind": "labour", "quantity": "10", "unit_price": "12.50"}
    load(job, "change-lines", lines(labour, premium))
    event = "change,event,date,person,reference\nCR1,approved,2026-03-10,Jonna,letter\n"
    load(job, "change-events", event)
    shown = job.json("show", "change", "--job", JOB, "CR1")

    assert (shown["price"], shown["hours_priced"]) == (Decimal("725.0000"), 10)


def test_what_was_offered_keeps_the_terms_it_was_offered_at(job: Yard) -> None:
    """A price sent stays as it was when the job's percentages change; a draft follows them."""
    card(job, TERMS)
    load(job, "change-lines", lines({**RAIL, "change": "CR2"}))
    submit = "change,event,date,person\nCR2,submitted,2026-03-10,Ada\n"
    load(job, "change-events", submit)
    card(job, TERMS.replace("15", "20"))
    draft = lines({**RAIL, "change": "CR2"}).replace("change,", "revision,change,", 1)
    load(job, "change-lines", draft.replace("\nCR2", "\n2,CR2"))

    assert amounts(job, "CR2") == ["287.50", "287.50"]
    assert amounts(job, "CR2", 2) == ["300.00", "300.00"]


def test_own_additions_stand_in_place_of_the_agreed_percentages(job: Yard) -> None:
    """A daywork change with additions of its own is not given the job's percentages too."""
    card(job, TERMS)
    load(
        job,
        "change-lines",
        lines({**RAIL, "change": "CR2"}, {**ADDED, "change": "CR2", "addition_percent": "5"}),
    )

    assert amounts(job, "CR2") == ["250.00", "12.50", "262.50"]


@pytest.mark.slow
def test_the_owner_reads_selling_prices_or_the_agreed_percentages(job: Yard) -> None:
    """Percentages are shown only where prime cost plus is agreed; else they are in the prices."""
    card(job, TERMS)
    own = {**RAIL, "addition_percent": "20"}
    third = {**RAIL, "addition_percent": "33.3333"}
    profit = {**ADDED, "addition_percent": "8", "addition_of": "labour"}
    labour = {"price_kind": "labour", "trade": "carpenter", "hours": "10"}
    text = {"owner_text": "Without varnish."}
    daywork = {**RAIL, "change": "CR2", "description": "Plate"}
    load(job, "change-lines", lines({**own, **text}, third, labour, profit, daywork))
    sent = "change,event,date,person\nCR1,submitted,2026-03-10,Ada\nCR2,submitted,2026-03-10,Ada\n"
    load(job, "change-events", sent)
    fixed, by_cost = owners(job, "CR1"), owners(job, "CR2")

    shown = [(each["unit_price"], each["amount"]) for each in fixed["lines"]]
    # 25.00 + 20 %; 25.00 + 33.3333 % has no rate of four places; 600.00 + 8 % has no rate.
    assert shown == [("30.0000", "300.00"), (None, "333.33"), (None, "648.00")]
    assert fixed["owner_texts"] == ["Without varnish."]
    assert [(each["agreed_addition"], each["amount"]) for each in by_cost["lines"]] == [
        ("+15 %", "287.50")
    ]


@pytest.mark.slow
def test_daywork_sheets_are_shown_as_the_estimate_they_are_compared_with(job: Yard) -> None:
    """Both by the rate before the percentage, which is told where the owner may see it."""
    card(job, TERMS)
    labour = {"price_kind": "labour", "trade": "carpenter", "hours": "10", "change": "CR2"}
    load(job, "change-lines", lines({**labour, "description": "Plate"}))
    head = "change,event,date,person,reference\n"
    load(job, "change-events", f"{head}CR2,approved,2026-03-10,Jonna,letter\n")
    load(job, "sheets", "worker_id,date,hours,booking_code\nA1,2026-03-10,5,CR2\n")
    sheet = "daywork_sheet,change,from,to,agreed_on,mark,person\n"
    load(job, "daywork-sheets", f"{sheet}D1,CR2,2026-03-09,2026-03-13,2026-03-16,agreed,Jonna\n")
    load(job, "sheets", "worker_id,date,hours,booking_code\nA1,2026-03-17,2,CR2\n")
    found = owners(job, "CR2")
    shown = [
        (Decimal(each["unit_price"]), each["agreed_addition"], each["amount"])
        for each in (*found["lines"], *found["daywork"]["lines"], *found["not_agreed"])
    ]

    # 60.00 with 120 % is 132.00 an hour: 10, 5 and 2 hours.
    assert shown == [
        (Decimal(60), "+120 %", "1320.00"),
        (Decimal(60), "+120 %", "660.00"),
        (Decimal(60), "+120 %", "264.00"),
    ]


@pytest.fixture
def winch(job: Yard) -> Yard:
    """The job with a provisional sum of 6,000.00."""
    card(job, SUMS)
    return job


WINCH = {"price_kind": "subcontract", "quantity": "1", "provisional_sum": "winch"}


@pytest.mark.slow
def test_approved_expenditure_omits_as_much_of_its_provisional_sum(winch: Yard) -> None:
    """Of 6,000.00 the first approved takes 4,000.00, the second the rest; the rest is added."""
    first = {**WINCH, "unit_price": "4000.00"}
    second = {**WINCH, "change": "CR2", "unit_price": "3000.00"}
    load(winch, "change-lines", lines(first, second))
    head = "change,event,date,person,reference\n"
    load(winch, "change-events", f"{head}CR2,approved,2026-03-11,Jonna,letter\n")
    load(winch, "change-events", f"{head}CR1,approved,2026-03-10,Jonna,letter\n")
    listed = winch.json("changes", "--job", JOB, "--status-date", "2026-03-20")

    assert amounts(winch, "CR1") == ["4000.00", "-4000.00", "0.00"]
    # 3,000.00 less the 2,000.00 that were left.
    assert amounts(winch, "CR2") == ["3000.00", "-2000.00", "1000.00"]
    assert [listed[name] for name in ("approved", "omitted", "adjusted_sum")] == [
        *(Decimal(7000), Decimal(6000), Decimal(21000))
    ]
    assert listed["provisional_sums"] == [
        {"name": "Winch", "amount": 6000, "omitted": 6000, "left": 0}
    ]
    assert (
        "1\N{NO-BREAK SPACE}000.00 more than was left of it"
        in winch.run("show", "change", "--job", JOB, "CR2").stdout
    )


def test_a_provisional_sum_that_changes_name_stays_in_the_job(winch: Yard) -> None:
    """A job without a sum that a change is paid from is refused, as is an unknown name."""
    load(winch, "change-lines", lines({**WINCH, "unit_price": "4000.00"}))
    other = lines({**WINCH, "unit_price": "1.00", "provisional_sum": "Crane"})

    rows = winch.rows(winch.run("show", "job", "--format", "csv").stdout)
    withdrawn = winch.run("withdraw", "fact", rows[0]["id"], "--reason", "slip", ok=False).stderr
    assert withdrawn == (
        f'{rows[0]["id"]}: provisional sum "Winch" would be removed, but CR1 is paid from it\n'
    )
    assert card(winch, "", ok=False).splitlines()[0] == (
        'job.toml:1: provisional sum "Winch" is named by CR1; keep it'
    )
    assert load(winch, "change-lines", other, ok=False).splitlines()[0] == (
        'change-lines.csv:2: unknown provisional sum "Crane"; use one of Winch'
    )


@pytest.mark.slow
def test_a_value_agreed_keeps_what_was_omitted(winch: Yard) -> None:
    """Daywork from a provisional sum: the value agreed less what its estimate omitted."""
    load(winch, "change-lines", lines({**WINCH, "change": "CR2", "unit_price": "3000.00"}))
    head = "change,event,date,person,reference,agreed_value\n"
    approved = f"{head}CR2,approved,2026-03-10,Jonna,letter,\n"
    load(winch, "change-events", f"{approved}CR2,value_agreed,2026-03-12,Jonna,letter,3200.00\n")
    listed = winch.json("changes", "--job", JOB, "--status-date", "2026-03-20")
    detail = owners(winch, "CR2")

    assert listed["changes"][1]["price"] == 200
    assert listed["adjusted_sum"] == 20200
    assert [line["amount"] for line in detail["lines"]] == ["3000.00", "-3000.00"]


@pytest.mark.slow
def test_the_job_keeps_what_approved_prices_rest_on(winch: Yard) -> None:
    """A version of the job at whose percentages a price was approved is not withdrawn."""
    card(winch, f"{TERMS}{SUMS}")
    load(winch, "change-lines", lines({**RAIL, "change": "CR2"}, {**WINCH, "unit_price": "1.00"}))
    approved = "change,event,date,person,reference\nCR2,approved,2026-03-10,Jonna,letter\n"
    load(winch, "change-events", approved)
    rows = winch.rows(winch.run("show", "job", "--all", "--format", "csv").stdout)
    newest = f"job:{rows[-1]['batch']}.{rows[-1]['row']}"

    assert winch.run("withdraw", "fact", newest, "--reason", "slip", ok=False).stderr == (
        f"{newest}: approved prices use its percentages: CR2; what was approved stays as approved; "
        "`fairhours load job` with what applies from now on\n"
    )
    assert amounts(winch, "CR2") == ["287.50", "287.50"]
