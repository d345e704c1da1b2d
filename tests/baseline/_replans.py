"""Packages replanned under a baseline change, as rows of files, and readings of what they moved."""

from decimal import Decimal

from tests._stage import JOB, load
from tests.conftest import Yard

COLUMNS = (
    *("work_package", "title", "control_account", "trade", "budget_hours", "planned_start"),
    *("planned_finish", "technique", "spread", "quantity", "unit", "start_share", "base_package"),
    "package_kind",
)
# What the sample's estimate has of each package beside its dates and hours.
DECK = {"title": "Deck boards", "quantity": "40", "unit": "board", "technique": "units_complete"}
UNITS = {**DECK, "work_package": "DECK", "trade": "carpenter", "control_account": "structure"}


def row(**facts: str) -> str:
    """Return a row of an estimate, of a carpenter's package unless told otherwise."""
    plain = {"title": "Work", "control_account": "structure", "trade": "carpenter"}
    given = {**plain, "technique": "percent_complete", **facts}
    return ",".join(given.get(name, "") for name in COLUMNS)


def deck(**facts: str) -> str:
    """Return the deck's row of the estimate with other facts."""
    dates = {"planned_start": "2026-03-09", "planned_finish": "2026-03-20", "budget_hours": "80"}
    return row(**{**UNITS, **dates, **facts})


def under(yard: Yard, name: str, *rows: str, what: str = "estimate", ok: bool = True) -> str:
    """Load packages, milestones or a plan under a baseline change; return what was said."""
    heads = {
        "estimate": ",".join(COLUMNS),
        "milestones": "work_package,milestone,weight,planned_date",
        "plan": "work_package,date,hours",
    }
    path = yard.write(f"{what}.csv", "\n".join([heads[what], *rows]) + "\n")
    words = ("load", what, "--job", JOB, "--baseline-change", name, path)
    return yard.run(*words, ok=ok).stderr


def authorised(yard: Yard, *rows: str, ok: bool = True) -> str:
    """Load rows of baseline changes with a reference."""
    lines = []
    for each in rows:
        name, day, package, trade, hours = each.split(",")
        lines.append(f"{name},{day},Ada Brunt,minutes 4,{package},{trade},{hours}\n")
    head = "name,date,person,reference,work_package,trade,hours\n"
    return load(yard, "baseline-changes", head + "".join(lines), ok=ok)


def by_package(yard: Yard, day: str, *words: str) -> dict[str, tuple[Decimal, ...]]:
    """Return BAC, PV, EV and AC of each package by a day."""
    told = yard.json(
        *words, "performance", "--job", JOB, "--status-date", day, "--by", "work-package"
    )
    return {r["key"]: (r["bac"], r["pv"], r["ev"], r["ac"]) for r in told["rows"] if r["bac"]}
