"""The small sample's README says what an independent reckoning of its files comes to."""

import ast
import operator
import re
from collections.abc import Callable
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest

from tests import _small_files as files
from tests._small_files import SAMPLE
from tests._small_reckoning import (
    BASELINES,
    OTHER_DATES,
    STATUS_DATE,
    UNITS,
    Reckoning,
    all_rounded,
)

README = (SAMPLE / "README.md").read_text(encoding="utf-8")
Table = dict[str, dict[str, str]]
ARITHMETIC = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
}


def worked_out(node: ast.expr) -> Fraction:
    """Return the exact value of a sum of + - * / and brackets."""
    match node:
        case ast.BinOp():
            return ARITHMETIC[type(node.op)](worked_out(node.left), worked_out(node.right))
        case ast.UnaryOp(op=ast.USub()):
            return -worked_out(node.operand)
        case ast.Constant():
            return Fraction(str(node.value))
    raise ValueError(ast.dump(node))


def cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split("|")]


def table(title: str, keys: int = 1) -> Table:
    """Return the table under a heading: by row (its first cells), each cell by its head."""
    section = re.split(r"^#+ ", README.split(f"### {title}\n")[1], flags=re.MULTILINE)[0]
    lines = [cells(line) for line in section.splitlines() if line.startswith("|")]
    heads, body = lines[0], lines[2:]
    return {" ".join(row[:keys]): dict(zip(heads[keys:], row[keys:], strict=True)) for row in body}


def figure(cell: str) -> str:
    """Return the figure of a cell, which stands after its sum."""
    return cell.rpartition("=")[2].strip()


def figures(title: str) -> dict[str, dict[str, Decimal | None]]:
    """Return a table's figures; None where it says undefined."""
    return {
        row: {h: None if c == "undefined" else Decimal(figure(c)) for h, c in columns.items()}
        for row, columns in table(title).items()
    }


def columns(title: str) -> dict[str, dict[str, Decimal | None]]:
    """Return a table's figures by column, then row."""
    by_row = figures(title)
    return {
        head: {row: by_row[row][head] for row in by_row} for head in next(iter(by_row.values()))
    }


def part_name(part: tuple[str, str]) -> str:
    return " ".join(part)


SUMS = [
    pytest.param(arithmetic, printed, id=arithmetic)
    for arithmetic, printed in dict.fromkeys(re.findall(r"`([^`|]+)` = (-?[\d.]+)", README))
]


@pytest.mark.parametrize(("arithmetic", "printed"), SUMS)
def test_a_sum_in_the_readme_comes_to_its_figure(arithmetic: str, printed: str) -> None:
    """Every sum shown in the sample's README is right at the places shown, half away from zero."""
    value = worked_out(ast.parse(arithmetic, mode="eval").body)
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    shown = exact.quantize(Decimal(printed), rounding=ROUND_HALF_UP)

    assert shown == Decimal(printed)
    # Fewer places than four only where nothing is cut off.
    assert len(printed.partition(".")[2]) >= 4 or value == Fraction(printed)


def test_the_readme_lists_every_file() -> None:
    """The README's table of files names each file of the folder but itself."""
    section = README.split("## The files\n")[1].split("## ")[0]
    listed = re.findall(r"[\w-]+\.(?:csv|toml)", section)
    there = [path.name for path in SAMPLE.iterdir() if path.name != "README.md"]

    assert sorted(listed) == sorted(there)


def test_the_readme_counts_the_lines_of_each_file() -> None:
    """The README's read, booked and held lines and booked hours are those of the week sheets."""
    expected = {file: all_rounded(row) for file, row in files.counted_by_file().items()}

    assert figures("Lines") == expected


def test_the_readme_lists_the_held_lines() -> None:
    """The README's held lines are those whose worker, day or duration is not established."""
    listed = table("Held", keys=2)
    actual = [(*key.split(), columns["not established"]) for key, columns in sorted(listed.items())]

    assert actual == [(file, str(number), why) for file, number, why in sorted(files.held_lines())]


def test_the_readme_shows_hours_and_cost_by_place() -> None:
    """Hours, cost and rework by place and trade are those of the booked lines."""
    expected: dict[str, dict[str, Fraction]] = {}
    for entry in files.entries():
        for key in (place_name(entry), "all"):
            row = expected.setdefault(
                key, dict.fromkeys(next(iter(figures("Hours by place").values())), Fraction())
            )
            row["hours"] += entry.hours
            row["labour cost"] += entry.cost
            row["of which rework, hours"] += entry.hours if entry.rework else 0
            row["of which rework, cost"] += entry.cost if entry.rework else 0

    assert figures("Hours by place") == {key: all_rounded(row) for key, row in expected.items()}


def place_name(entry: files.Entry) -> str:
    if entry.place == files.UNTAGGED:
        return entry.place
    return f"{entry.place} ({entry.cause})" if entry.cause else f"{entry.place} {entry.trade}"


def test_the_readme_shows_the_plan_by_week() -> None:
    """Planned hours by package and week end are the running totals of the plan."""
    job = Reckoning(STATUS_DATE)
    ends, planned = job.planned_by_week()
    expected = {
        name: {str(end): job.totals(job.parts([name]), end, lost_time=False)[1] for end in ends}
        for name in ("FRAME", "DECK", "RAIL", "CR1")
    }
    expected["all"] = dict(zip(map(str, ends), planned, strict=True))

    assert figures("The plan") == {key: all_rounded(row) for key, row in expected.items()}


@pytest.mark.parametrize("unit", UNITS)
def test_the_readme_shows_each_part(unit: str) -> None:
    """B, EV, AC, RW and F of each package and trade are those reckoned from the files."""
    job = Reckoning(STATUS_DATE, measured_in=unit)
    shown = figures("The parts in hours" if unit == "hours" else "The parts in labour cost")

    assert shown == {part_name(part): all_rounded(part_row(job, part)) for part in job.parts()}


def part_row(job: Reckoning, part: tuple[str, str]) -> dict[str, Fraction]:
    in_cost = job.measured_in == "cost"
    earned = files.share(part[0], job.status_date)
    return {
        **({"budget rate": job.budget_rate(part)} if in_cost else {}),
        "B": job.valued(part, job.budget(part)),
        **({} if in_cost else {"share earned": earned}),
        "EV": job.earned_value(part, job.status_date),
        "AC": job.actual(part),
        "RW": job.rework(part),
        "F": job.forecast(part),
    }


@pytest.mark.parametrize("baseline", BASELINES)
def test_the_readme_shows_the_job(baseline: str) -> None:
    """The job's figures in hours and cost, on both baselines, are those reckoned from the files."""
    shown = columns(f"The job, {baseline} baseline")
    expected = {
        head: all_rounded(job_row(Reckoning(STATUS_DATE, baseline, unit)))
        for head, unit in {"hours": "hours", "labour cost": "cost"}.items()
    }

    assert shown == expected


def job_row(job: Reckoning) -> dict[str, Fraction | None]:
    """Return what the README's table of the job holds."""
    row = {k: v for k, v in job.job().items() if not k.endswith("_measured")}
    if job.baseline == "current":
        row["anticipated_final"] = job.steps()["anticipated_final"]
    return row


def test_the_readme_shows_the_time() -> None:
    """The earned schedule and its forecasts, on both baselines, are those reckoned."""
    rows = table("Time")
    finish = rows.pop("forecast_finish")
    current, original = (Reckoning(STATUS_DATE, baseline) for baseline in BASELINES)
    shown = {row: [Decimal(figure(cell)) for cell in two.values()] for row, two in rows.items()}
    both = all_rounded(current.time()), all_rounded(original.time())

    assert shown == {name: [times[name] for times in both] for name in both[0]}
    assert list(finish.values()) == [str(job.forecast_finish()) for job in (current, original)]


@pytest.mark.parametrize(
    ("title", "reckon"),
    [
        ("Why the hours changed", Reckoning.steps),
        ("Asked by", Reckoning.asked_by),
        ("Borne by", Reckoning.borne_by),
    ],
)
def test_the_readme_explains_the_overrun(
    title: str, reckon: Callable[[Reckoning], dict[str, Fraction]]
) -> None:
    """The ten steps and the two splits, in hours and cost, are those reckoned from the files."""
    shown = columns(title)
    for head, unit in {"hours": "hours", "labour cost": "cost"}.items():
        expected = reckon(Reckoning(STATUS_DATE, measured_in=unit))
        if title != "Why the hours changed":
            expected = expected | {"all": sum(expected.values(), Fraction())}

        assert shown[head] == all_rounded(expected)


def test_the_readme_reconciles_the_contract_sum() -> None:
    """From contract sum to anticipated final sum every line is that of the changes' prices."""
    shown = columns("Contract sum")["amount"]

    assert shown == all_rounded(files.contract_sum(STATUS_DATE))


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("day", [*OTHER_DATES, STATUS_DATE])
def test_the_steps_end_at_the_forecast(day: date, unit: str) -> None:
    """The steps' sum is the forecast at completion and the changes not approved."""
    job = Reckoning(day, measured_in=unit)
    waiting = sum(job.unapproved().values(), Fraction())
    growth = job.steps()["anticipated_final"] - job.steps()["original_budget"]

    assert job.steps()["anticipated_final"] - waiting == job.job()["eac"]
    assert sum(job.asked_by().values()) == growth
    assert sum(job.borne_by().values()) == growth
