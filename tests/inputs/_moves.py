"""Changes of the sample's job, and readings of its baseline."""

from decimal import Decimal

from tests._stage import JOB, SAMPLE, load, table
from tests.conftest import Yard

HOUR = 3_600_000
FROZEN_ON = "2026-02-23"
CHANGE_HEAD = "change,title,requested_by,requested_on,change_basis\n"
LINE_HEAD = "change,price_kind,description,revision,trade,hours,work_package,planned_start,"
LINE_HEAD += "planned_finish\n"
EVENT_HEAD = "change,event,date,person,revision,valid_until,rough\n"
BASELINE_HEAD = "name,date,person,work_package,trade,hours\n"


def freeze(yard: Yard) -> Yard:
    """Freeze the estimate on the day of the contract."""
    yard.run("freeze", "--job", JOB, "--on", FROZEN_ON)
    return yard


def request(yard: Yard, *codes: str, basis: str = "fixed_price") -> None:
    """Request changes, all on one day."""
    rows = (f"{code},Something else,The owner,2026-03-02,{basis}\n" for code in codes)
    load(yard, "changes", CHANGE_HEAD + "".join(rows))


def price(yard: Yard, *rows: str, ok: bool = True) -> str:
    """Load labour lines: change, revision, trade, hours, and what may follow."""
    lines = []
    for row in rows:
        code, revision, trade, hours, *more = row.split(",")
        rest = ",".join([*more, "", "", ""][:3])
        lines.append(f"{code},labour,Work,{revision},{trade},{hours},{rest}\n")
    return load(yard, "change-lines", LINE_HEAD + "".join(lines), ok=ok)


def tell(yard: Yard, *rows: str, ok: bool = True) -> str:
    """Load events: change, event, date, and maybe revision, valid_until, rough."""
    lines = []
    for row in rows:
        code, name, day, *more = row.split(",")
        rest = ",".join([*more, "", "", ""][:3])
        lines.append(f"{code},{name},{day},Jonna Merrick,{rest}\n")
    return load(yard, "change-events", EVENT_HEAD + "".join(lines), ok=ok)


def rebase(yard: Yard, *rows: str, ok: bool = True) -> str:
    """Load rows of baseline changes: name, date, package, trade, hours."""
    lines = []
    for row in rows:
        name, day, package, trade, hours = row.split(",")
        lines.append(f"{name},{day},Ada Brunt,{package},{trade},{hours}\n")
    return load(yard, "baseline-changes", BASELINE_HEAD + "".join(lines), ok=ok)


def measure(yard: Yard, package: str, day: str, **facts: str) -> None:
    """Load one measurement."""
    head = ",".join(["work_package", "date", *facts])
    load(yard, "progress", f"{head}\n{','.join([package, day, *facts.values()])}\n")


def figures(yard: Yard, day: str, key: str) -> tuple[Decimal, Decimal, Decimal]:
    """Return BAC, PV and EV of a package or change by a day, in hours."""
    words = ("--job", JOB, "--status-date", day, "--by", "work-package")
    rows = {row["key"]: row for row in yard.json("performance", *words)["rows"]}
    return tuple(rows[key][name] for name in ("bac", "pv", "ev"))


def postings(yard: Yard, name: str, source: str) -> list[tuple[str, str, str, int]]:
    """Return part, trade, the day it counts from or is planned on, and ms, of one source."""
    day = "counts_from" if name == "budget_posting" else "day"
    return [
        (row["part"], row["trade"], row[day], int(row["ms"]))
        for row in table(yard, name)
        if row["source"] == source
    ]


def with_contingency(yard: Yard) -> Yard:
    """Load the sample's estimate with 20 h of contingency, and freeze it."""
    rows = (SAMPLE / "estimate.csv").read_text(encoding="utf-8").splitlines()
    rows = [f"{rows[0]},package_kind", *(f"{row}," for row in rows[1:])]
    spare = "SPARE,Spare hours,reserve,carpenter,20,2026-03-02,2026-03-27,percent_complete"
    load(yard, "estimate", "\n".join([*rows, f"{spare},,,,,,contingency"]) + "\n")
    return freeze(yard)
