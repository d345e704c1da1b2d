"""How budgets are spread over days, read a second time."""

from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from tests.demo._reckon_files import Job, a_day, hours_ms, round_half_away
from tests.demo._reckon_measures import Package

Days = list[tuple[date, int]]


def running(ms: int, weights: Iterable[tuple[date, Fraction]]) -> Days:
    """Return an amount by day pro rata; its running total is rounded and ends exactly."""
    given = list(weights)
    total = sum((weight for _, weight in given), Fraction(0))
    days, so_far, posted = [], Fraction(0), 0
    for day, weight in given:
        so_far += weight
        upto = round_half_away(ms * so_far / total)
        days.append((day, upto - posted))
        posted = upto
    return days


def spread(job: Job, ms: int, first: date, final: date, shape: str) -> Days:
    """Return an amount over the job's working days: even, early, late or middle."""
    days = job.working_days(first, final)
    count = len(days)
    if not days:
        return [(first, ms)]
    weight = {
        "early": lambda i: count + 1 - i,
        "late": lambda i: i,
        "middle": lambda i: min(i, count + 1 - i),
    }.get(shape, lambda _: 1)
    return running(ms, [(day, Fraction(weight(i))) for i, day in enumerate(days, start=1)])


def by_technique(job: Job, package: Package, ms: int) -> Days:
    """Return a package's budget by planned day, an apportioned one apart."""
    row = package.row
    first, final = a_day(row["planned_start"]), a_day(row["planned_finish"])
    if package.technique == "fixed_formula":
        at_start = round_half_away(ms * Fraction(row.get("start_share") or "0"))
        return [(first, at_start), (final, ms - at_start)]
    if package.technique == "weighted_milestone" and package.milestones:
        ordered = sorted(package.milestones, key=lambda row: row["planned_date"])
        return running(
            ms, [(a_day(row["planned_date"]), Fraction(row["weight"])) for row in ordered]
        )
    return spread(job, ms, first, final, row.get("spread", ""))


def by_file(rows: list[dict[str, str]], trade: str, ms: int) -> Days:
    """Return a budget as a plan by day says: of the trade, else of all trades pro rata."""
    own = [row for row in rows if row.get("trade", "") == trade]
    if own:
        return sorted((a_day(row["date"]), hours_ms(row["hours"])) for row in own)
    of_all = sorted((a_day(row["date"]), Fraction(row["hours"])) for row in rows)
    return running(ms, of_all)


def merged(days: Iterable[tuple[date, int]]) -> Days:
    """Return one amount a day, in the order of days."""
    sums: dict[date, int] = {}
    for day, ms in days:
        sums[day] = sums.get(day, 0) + ms
    return sorted(sums.items())
