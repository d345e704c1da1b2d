"""A yard whose week was paid, and what its reconciliation says."""

from typing import Any

from tests.conftest import Yard

PAYROLL = "worker_id,period_start,period_end,pay_class,hours\n"
SUPPLIER = "supplier,period_start,period_end,hours,worker_id\n"
NOTES = "worker_id,supplier,period_start,period_end,reason,hours,kind,note\n"
SHEETS = "worker_id,date,hours,booking_code,job,pay_class,note\n"
CREW = "worker_id,name,trade,active_from,active_to,employment,supplier,contract_hours_per_week\n"
# The week from Monday 2 March 2026, and its days.
WEEK = "2026-03-02,2026-03-08"
MON, TUE, WED, THU, FRI = (f"2026-03-0{day}" for day in range(2, 7))
SETTINGS = """
[yard]
name = "Mere Slip"
currency = "EUR"
[overhead]
SHOP = "shop"
[absence]
LEAVE = "leave"
"""
PEOPLE = """
H1,Ann,joiner,2026-01-01,,hourly,,
H2,Ben,joiner,2026-01-01,,hourly,,
S1,Cid,joiner,2026-01-01,,salaried,,37.5
G1,Dan,welder,2026-01-01,,agency,Holm Labour,
G2,Eve,welder,2026-01-01,,agency,Holm Labour,
"""


def begin(yard: Yard) -> None:
    """Give the yard settings and a crew: two hourly, one salaried, two of an agency."""
    yard.run("load", "settings", yard.write("settings.toml", SETTINGS))
    yard.run("load", "crew", yard.write("crew.csv", CREW + PEOPLE.lstrip()))


def sheets(yard: Yard, *rows: str, name: str = "sheets.csv") -> None:
    """Book rows of worker, date, hours and code, or with job, pay class and note."""
    text = "".join(f"{row}{',' * (6 - row.count(','))}\n" for row in rows)
    yard.run("load", "sheets", yard.write(name, SHEETS + text))


def paid(yard: Yard, *rows: str, thing: str = "payroll") -> None:
    """Load rows of what was paid."""
    head = {"payroll": PAYROLL, "supplier-hours": SUPPLIER, "payroll-notes": NOTES}[thing]
    yard.run("load", thing, yard.write(f"{thing}.csv", head + "".join(f"{r}\n" for r in rows)))


def reconciled(yard: Yard, start: str = "2026-03-01", end: str = "2026-03-31") -> Any:
    """Return the reconciliation of March, or of other days."""
    return yard.json("reconciliation", "--from", start, "--to", end)


def told(row: Any) -> tuple[Any, ...]:
    """Return of a row who, the kind, paid, booked, and reasons with their hours, then the rest."""
    why = {each["reason"]: each["hours"] for each in row["reasons"]}
    who = row["worker_id"] or row["supplier"]
    return who, row["kind"], row["paid_hours"], row["booked_hours"], why, row["unexplained_hours"]


def each(yard: Yard) -> list[tuple[Any, ...]]:
    """Return the rows of March, each told, but those of the salaried worker."""
    return [told(row) for row in reconciled(yard)["rows"] if row["worker_id"] != "S1"]


def days(worker: str, hours: str, code: str = "SHOP", count: int = 5) -> list[str]:
    """Return rows of so many days of the week, of so many hours each."""
    return [f"{worker},{day},{hours},{code}" for day in (MON, TUE, WED, THU, FRI)[:count]]
