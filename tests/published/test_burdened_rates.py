"""C3 and P4: what an hour costs, built up from its items by the command.

C3: Definition of Prime Cost of Daywork (RICS and Construction Confederation), rates of 6 April 2012
[S]: wage 46 weeks, employer's insurance 13.8 % over 144 a week, levy (printed 106.06 and 79.80,
half a percent of wage and holiday [C]), holiday 234 h, welfare 52 weeks, over 1,794 h.
P4: UNC policy 300.07 [S]: 182,793 + 46 % in whole units over 1,696 h [C]; BRANZ, Build 133 [S]:
five items of a week over 44 h. P9: 29 CFR 778.113 [S]: salaries of a week and a month.
"""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard

HEAD = "trade,item,item_kind,quantity,amount,less,percent,of\n"
PER_HEAD = HEAD.replace(",of", ",of,per")
C3 = """\
{0},wage,,46,{1},,,
{0},employer's insurance,,46,{1},144,13.8,
{0},levy,,,,,0.5,wage + holiday
{0},holiday,leave,234,{2},,,
{0},welfare,,52,11.39,,,
{0},hours worked,hours,1794,,,,
"""
CRAFT, GENERAL = C3.format("craft", "407.94", "10.46"), C3.format("general", "306.93", "7.87")
UNC = "staff,salary,,,182793,,,\nstaff,benefits,,,,,46,salary\nstaff,hours,hours,1696,,,,\n"
BRANZ = "".join(
    f"builder,item {number},,,{amount},,,\n"
    for number, amount in enumerate(("1320.00", "232.94", "95.17", "264.00", "270.16"))
)


@pytest.fixture(scope="module")
def quoted(new_yard: Callable[[], Yard]) -> Callable[..., list[dict[str, Any]]]:
    """What quotes the rates of a file."""
    yard = new_yard()

    def of(text: str, *words: str) -> list[dict[str, Any]]:
        head = HEAD if text.splitlines()[0].count(",") == HEAD.count(",") else PER_HEAD
        rates: list[dict[str, Any]] = yard.json(
            "quote", "rate", yard.write("items.csv", head + text), *words
        )["rates"]
        return rates

    return of


def test_prime_cost_of_an_hour(quoted: Callable[..., list[dict[str, Any]]]) -> None:
    """Each line as printed, the annual sum, and 13.15 and 9.85 an hour."""
    craft, general = quoted(CRAFT + GENERAL)
    lines = [[line["amount"] for line in each["lines"]][:5] for each in (craft, general)]

    assert lines == [
        list(map(Decimal, ("18765.24", "1675.49", "106.06", "2447.64", "592.28"))),
        list(map(Decimal, ("14118.78", "1034.28", "79.80", "1841.58", "592.28"))),
    ]
    assert [each["cost"] for each in (craft, general)] == [Decimal("23586.71"), Decimal("17666.72")]
    assert [each["cost_per_hour"] for each in (craft, general)] == [
        Decimal("13.15"),
        Decimal("9.85"),
    ]
    assert (craft["hours"], craft["leave"]) == (1794, "in_cost")


def test_burdened_rates(quoted: Callable[..., list[dict[str, Any]]]) -> None:
    """157.36 of whole units, and 49.60; leave taken out of the hours gives the same as fewer."""
    (unc,) = quoted(UNC, "--places", "0")
    (less,) = quoted(UNC.replace("1696", "2080") + "staff,leave,leave,384,,,,\n", "--places", "0")
    (branz,) = quoted(BRANZ + "builder,hours,hours,44,,,,\n")

    assert [line["amount"] for line in unc["lines"][:2]] == [182_793, 84_085]
    assert (unc["cost"], unc["cost_per_hour"]) == (266_878, Decimal("157.36"))
    assert (less["hours"], less["leave"]) == (1696, "out_of_hours")
    assert less["cost_per_hour"] == unc["cost_per_hour"]
    assert (branz["cost"], branz["cost_per_hour"]) == (Decimal("2182.27"), Decimal("49.60"))


def test_a_salary_of_a_week_or_a_month(quoted: Callable[..., list[dict[str, Any]]]) -> None:
    """182.70 for 35 h are 5.22 an hour, 220.80 for 40 h 5.52; 1,040 a month 240.00 a week."""
    rows = "".join(
        f"{trade},salary,,,{pay},,,,{per}\n{trade},hours,hours,{hours},,,,,week\n"
        for trade, pay, per, hours in (
            ("fives", "182.70", "week", 35),
            ("forty", "220.80", "week", 40),
            ("month", "1040", "month", 40),
        )
    )
    fives, forty, month = quoted(rows)

    assert [each["cost_per_hour"] for each in (fives, forty, month)] == [
        *map(Decimal, ("5.22", "5.52", "6.00"))
    ]
    assert month["periods"]["week"] == {"cost": Decimal("240.00"), "hours": 40}
    # And back, x 52 / 12 [C].
    assert month["periods"]["month"] == {"cost": Decimal("1040.00"), "hours": Decimal("173.33")}


@pytest.mark.slow
def test_a_built_rate_is_loaded_as_a_rate(yard: Yard) -> None:
    """The file that is written goes in as it is, a rate a trade."""
    items = yard.write("items.csv", HEAD + CRAFT + GENERAL)
    yard.run("quote", "rate", items, "--out", yard.folder / "r.csv", "--from", "2012-04-06")
    yard.run("load", "rates", yard.folder / "r.csv")
    rates = {row["trade"]: row["cost_per_hour"] for row in yard.json("show", "rate")}

    assert rates == {"craft": 131_500, "general": 98_500}


WRONG = [
    ("a,x,hours,,,,,", "items.csv:2: give the hours as the quantity"),
    ("a,x,,,,,46,wage", "items.csv:2: of: there is no item of cost"),
    ("a,x,,,5,,,", "items.csv:2: no hours are left to divide by"),
    ("a,x,,,,,5,x\na,h,hours,1,,,,", 'items.csv:2: "x" is a percentage of itself'),
    ("a,x,pay,1,,,,", 'items.csv:2: item_kind "pay" is unknown'),
    ("a,x,,,5,,,\na,x,,,5,,,\na,h,hours,1,,,,", 'item "x" appears twice'),
]
WRONG_PERIODS = [
    ("a,x,,,5,,,,month\na,h,hours,1,,,,,", "items.csv:3: give per on each row"),
    ("a,x,,,5,,,,day\na,h,hours,1,,,,,day", 'items.csv:2-3: per "day" is unknown; use one of year'),
    ("a,x,,,5,,,,\na,y,,,,,5,x,year", "items.csv:3: a percentage of items is per what they are"),
]


@pytest.mark.slow
@pytest.mark.parametrize(("text", "message"), [*WRONG, *WRONG_PERIODS])
def test_items_that_give_no_rate_are_told(yard: Yard, text: str, message: str) -> None:
    """One clear message each, and nothing is written."""
    head = HEAD if (text, message) in WRONG else PER_HEAD
    path = yard.write("items.csv", f"{head}{text}\n")
    told = yard.run("quote", "rate", path, ok=False).stderr

    assert message in told
