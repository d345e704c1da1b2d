"""Write the demo yard's input files into sample_data: the same bytes on every run.

Run from the checkout's root: python -m tests.demo.make_demo_yard
"""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

from tests.demo import _billing, _changes, _daywork, _jobs, _pay, _progress, _sheets, _yard

SAMPLE = Path(__file__).resolve().parents[2] / "sample_data"
FOLDERS = ("yard", "ferry", "sedge", "sheets")
JOBS = {"FERRY": ("ferry", date(2026, 1, 5)), "SEDGE": ("sedge", date(2026, 1, 14))}


@dataclass
class Files:
    """The files by their path below sample_data, and the order in which they came in."""

    texts: dict[str, str] = field(default_factory=dict)
    steps: list[tuple[date, int, str, str]] = field(default_factory=list)

    def add(self, on: date, command: str, path: str, text: str) -> None:
        self.texts[path] = text
        self.step(on, command, path)

    def step(self, on: date, command: str, path: str = "") -> None:
        self.steps.append((on, len(self.steps), command, path))


def files() -> dict[str, str]:
    """Return every file of the demo yard: path below sample_data and text."""
    made = Files()
    _begin(made)
    for job, (folder, day) in JOBS.items():
        _job(made, job, folder, day)
    _crew(made)
    for week in range(1, _yard.WEEKS + 1):
        _week(made, week)
    for sheet in _daywork.SHEETS:
        _daywork_sheet(made, sheet)
    _billed(made)
    _paid(made)
    rows = [[str(on), command, path] for on, _, command, path in sorted(made.steps)]
    return {**made.texts, "schedule.csv": table(["on", "command", "file"], rows)}


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a CSV file's text with line feeds."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return text.getvalue()


def dict_table(rows: Sequence[Mapping[str, str]]) -> str:
    """Return the rows as a CSV file without the columns that are blank in all of them."""
    head = [name for name in rows[0] if any(row[name] for row in rows)]
    return table(head, [[row[name] for name in head] for row in rows])


# --- the yard ----------------------------------------------------------------------------------


def _begin(made: Files) -> None:
    made.add(date(2026, 1, 5), "load settings", "yard/settings.toml", _yard.SETTINGS)
    head = ["trade", "grade", "effective_from", "cost_per_hour"]
    for name, day, rates in (
        ("rates", date(2026, 1, 5), _yard.RATES),
        ("rates-2026-07", date(2026, 6, 29), _yard.RISE),
    ):
        rows = [[trade, grade, str(begins), cost] for trade, grade, begins, cost in rates]
        made.add(day, "load rates", f"yard/{name}.csv", table(head, rows))
    rows = [["welder", number, str(day), cost] for number, day, cost in _yard.AGENCY_RATES]
    head = ["trade", "worker_id", "effective_from", "cost_per_hour"]
    made.add(date(2026, 2, 16), "load rates", "yard/rates-agency.csv", table(head, rows))
    rules = "\n".join([_yard.RULES_HEAD, *_yard.RULES, ""])
    made.add(date(2026, 7, 10), "load rules", "yard/rules.csv", rules)


CREW_HEAD = [
    "worker_id",
    "name",
    "trade",
    "grade",
    "active_from",
    "active_to",
    "employment",
    "supplier",
]


def _crew(made: Files) -> None:
    """Add a crew file for each day on which the office wrote somebody in or out."""
    days: dict[date, list[list[str]]] = {}
    for worker in _yard.CREW:
        agreed = worker.employment == "agency"
        days.setdefault(worker.recorded, []).append(_crew_row(worker, agreed))
        if worker.ends and not agreed:
            days.setdefault(worker.ends, []).append(_crew_row(worker, True))
    first = min(days)
    for day, rows in sorted(days.items()):
        name = "crew" if day == first else f"crew-{day}"
        made.add(day, "load crew", f"yard/{name}.csv", table(CREW_HEAD, rows))


def _crew_row(worker: _yard.Worker, ended: bool) -> list[str]:
    ends = str(worker.ends) if worker.ends and ended else ""
    return [
        worker.number,
        worker.name,
        worker.trade,
        worker.grade,
        str(worker.begins),
        ends,
        worker.employment,
        worker.supplier,
    ]


# --- the jobs ----------------------------------------------------------------------------------


def _job(made: Files, job: str, folder: str, day: date) -> None:
    card = {"FERRY": _jobs.FERRY_TOML, "SEDGE": _jobs.SEDGE_TOML}[job]
    off = ", ".join(str(each) for each in _yard.HOLIDAYS)
    made.add(day, "load job", f"{folder}/job.toml", card.format(days_off=off))
    of_job = f"--job {job}"
    charged = {"FERRY": _yard.CHARGE_FERRY, "SEDGE": _yard.CHARGE_SEDGE}[job]
    rates = [
        [trade, grade, str(_yard.LONG_AGO), charge]
        for trade, charges in charged.items()
        for grade, charge in zip(("", "lead", "apprentice"), charges, strict=True)
    ]
    head = ["trade", "grade", "effective_from", "charge_per_hour"]
    path = f"{folder}/charge-rates.csv"
    made.add(day, f"load charge-rates {of_job}", path, table(head, rates))
    packages = [package for package in _jobs.packages() if package.job == job]
    estimate = dict_table([row for package in packages for row in _estimate(package)])
    made.add(day, f"load estimate {of_job}", f"{folder}/estimate.csv", estimate)
    milestones = [
        [package.code, name, str(weight), str(_yard.day_of(week, 4))]
        for package in packages
        for name, weight, week in package.milestones
    ]
    head = ["work_package", "milestone", "weight", "planned_date"]
    path = f"{folder}/milestones.csv"
    made.add(day, f"load milestones {of_job}", path, table(head, milestones))
    made.step(day, f"freeze {of_job} --on {day}")


def _estimate(package: _jobs.Package) -> list[dict[str, str]]:
    first, last = package.weeks
    return [
        {
            "work_package": package.code,
            "title": package.title,
            "control_account": package.account,
            "trade": trade,
            "budget_hours": str(hours),
            "planned_start": str(_yard.day_of(first)),
            "planned_finish": str(_yard.day_of(last, 4)),
            "technique": package.technique,
            "spread": package.spread,
            "quantity": str(package.quantity or ""),
            "unit": package.unit,
            "start_share": package.start_share,
            "base_package": package.base,
            "package_kind": package.kind,
            "work_kind": _jobs.WORK_KINDS.get(package.code, ""),
        }
        for trade, hours in package.hours.items()
    ]


# --- week by week ------------------------------------------------------------------------------


def _week(made: Files, week: int) -> None:
    name = _yard.label(week)
    monday = _yard.day_of(week + 1)
    if week % 2 == 0:
        for job, (folder, _) in JOBS.items():
            _fortnight(made, job, folder, week)
            rows = _progress.rows(_sheets.yard(), job, week)
            if rows:
                path = f"{folder}/progress/progress-{name}.csv"
                made.add(monday, f"load progress --job {job}", path, dict_table(rows))
    rows = _sheets.rows_of_week(week)
    text = table(_sheets.HEAD, [[row[column] for column in _sheets.HEAD] for row in rows])
    made.add(monday + timedelta(days=1), "load sheets", f"sheets/week-{name}.csv", text)


LINE_HEAD = [
    "change",
    "revision",
    "price_kind",
    "description",
    "trade",
    "hours",
    "quantity",
    "unit",
    "unit_price",
    "work_package",
]
EVENT_MARKS = (
    "valid_until",
    "rough",
    "not_to_exceed",
    "days_granted",
    "days_requested",
    "agreed_value",
    "agreed_hours",
)


def _fortnight(made: Files, job: str, folder: str, week: int) -> None:
    """Add what was asked for, priced and decided in the fortnight that ends with a week."""
    requests = [request for request in _changes.REQUESTS if request.job == job]
    name, friday = _yard.label(week), _yard.day_of(week, 4)
    asked = [_request(request) for request in requests if _within(request.asked[1], week)]
    events = [_event(each, event) for each in requests for event in _told(each, week)]
    lines = [row for request in requests for row in _lines(request, week)]
    for what, rows in (("changes", asked), ("change-events", events)):
        if what == "change-events" and lines:
            path = f"{folder}/changes/change-lines-{name}.csv"
            made.add(friday, f"load change-lines --job {job}", path, table(LINE_HEAD, lines))
        if rows:
            ordered = sorted(rows, key=lambda row: row.get("date", row["change"]))
            path = f"{folder}/changes/{what}-{name}.csv"
            made.add(friday, f"load {what} --job {job}", path, dict_table(ordered))
    if job == "FERRY":
        _baseline_changes(made, folder, week)


ITEM_HEAD = [
    *("change", "date", "cost_kind", "description", "quantity", "unit", "unit_cost", "reference"),
]
SHEET_HEAD = ["daywork_sheet", "change", "from", "to", "agreed_on", "mark", "person"]
PART_HEAD = ["item", "agreed_quantity", "reason"]


def _daywork_sheet(made: Files, sheet: _daywork.Sheet) -> None:
    """Add a daywork sheet on the day it was marked, after the items used in its weeks."""
    day, folder = _yard.day_of(*sheet.marked), JOBS[sheet.job][0]
    first, last = sheet.weeks
    items = [
        [
            *(item.change, str(_yard.day_of(*item.day)), item.kind, item.description),
            *(item.quantity, item.unit, item.unit_cost, item.reference),
        ]
        for item in _daywork.ITEMS
        if item.change == sheet.change and first <= item.day[0] <= last
    ]
    if items:
        path = f"{folder}/changes/daywork-items-{day}.csv"
        made.add(day, f"load daywork-items --job {sheet.job}", path, table(ITEM_HEAD, items))
    days = [str(_yard.day_of(first)), str(_yard.day_of(last, 6)), str(day)]
    row = [sheet.code, sheet.change, *days, sheet.mark, sheet.person, *(sheet.part or ())]
    head = [*SHEET_HEAD, *(PART_HEAD if sheet.part else ())]
    path = f"{folder}/changes/daywork-sheets-{day}.csv"
    made.add(day, f"load daywork-sheets --job {sheet.job}", path, table(head, [row]))


PERCENT_HEAD = ["item", "date", "percent"]
PAYMENT_HEAD = [
    *("invoice", "date", "amount", "reference", "deducted", "deduction_kind", "reason"),
]


def _billed(made: Files) -> None:
    """Add what is claimed and billed, and what was paid, each on its day."""
    job, folder = _billing.JOB, JOBS[_billing.JOB][0]
    for claim in _billing.CLAIMS:
        to, day = _yard.day_of(*claim.to), _yard.day_of(*claim.billed)
        rows = [[item, str(to), str(percent)] for item, percent in claim.percents.items()]
        path = f"{folder}/billing/claim-percents-{day}.csv"
        made.add(day, f"load claim-percents --job {job}", path, table(PERCENT_HEAD, rows))
        made.step(day, f"issue claim --job {job} --to {to}")
        made.step(day, f"issue invoice --job {job} --claim {claim.number} --on {day}")
    for paid in _billing.PAYMENTS:
        day = _yard.day_of(*paid.paid)
        row = [paid.invoice, str(day), paid.amount, paid.reference]
        row += [paid.deducted, paid.deduction_kind, paid.reason]
        text = dict_table([dict(zip(PAYMENT_HEAD, row, strict=True))])
        made.add(day, f"load payments --job {job}", f"{folder}/billing/payments-{day}.csv", text)


def _paid(made: Files) -> None:
    """Add what was paid of each month, then the notes on what differs."""
    for month, (_, _, day) in _pay.MONTHS.items():
        text = table(_pay.HEAD, _pay.payroll(month))
        made.add(day, "load payroll", f"yard/payroll-{month}.csv", text)
    first, last, day = _pay.MONTHS["2026-10"]
    rows = [[who, str(first), str(last), *said] for who, *said in _pay.NOTES]
    text = table(_pay.NOTE_HEAD, rows)
    made.add(day, "load payroll-notes", "yard/payroll-notes-2026-10.csv", text)


def _within(place: _changes.Day, week: int) -> bool:
    return week - 1 <= place[0] <= week


def _request(request: _changes.Request) -> dict[str, str]:
    person, place = request.asked
    return {
        "change": request.code,
        "title": request.title,
        "requested_by": person,
        "requested_on": str(_yard.day_of(*place)),
        "change_basis": request.basis,
        "origin": request.origin,
        "description": request.description,
        "decision_needed_by": str(_yard.day_of(*request.needed_by)) if request.needed_by else "",
        "days_requested": str(request.days or ""),
    }


def _told(request: _changes.Request, week: int) -> list[_changes.Event]:
    return [event for event in request.events if _within(event.day, week)]


def _event(request: _changes.Request, event: _changes.Event) -> dict[str, str]:
    marks = dict.fromkeys(EVENT_MARKS, "")
    for name, value in event.marks.items():
        marks[name] = str(_yard.day_of(*value)) if isinstance(value, tuple) else str(value)
    return {
        "change": request.code,
        "event": event.name,
        "date": str(_yard.day_of(*event.day)),
        "person": event.person,
        "revision": str(event.revision or ""),
        "reference": event.reference,
        **marks,
    }


def _lines(request: _changes.Request, week: int) -> list[list[str]]:
    """Return the lines of the revisions that are first spoken of in the fortnight."""
    first: dict[str, _changes.Event] = {}
    for event in request.events:
        if event.revision:
            first.setdefault(str(event.revision), event)
    fresh = {revision for revision, event in first.items() if _within(event.day, week)}
    return [
        [request.code, line[0], line[1], line[2], *line[3:]]
        for line in request.lines
        if line[0] in fresh
    ]


def _baseline_changes(made: Files, folder: str, week: int) -> None:
    head = ["name", "date", "person", "reference", "work_package", "trade", "hours"]
    for name, place, person, reference, rows in _changes.BASELINE_CHANGES:
        if _within(place, week):
            day = _yard.day_of(*place)
            text = table(head, [[name, str(day), person, reference, *row] for row in rows])
            _rescoped(made, folder, name, day)
            path = f"{folder}/changes/baseline-changes-{day}.csv"
            made.add(day, "load baseline-changes --job FERRY", path, text)


def _rescoped(made: Files, folder: str, name: str, day: date) -> None:
    """Add the packages whose work a baseline change makes another, with their new hours."""
    moved = next(rows for own, *_, rows in _changes.BASELINE_CHANGES if own == name)
    added = {(code, trade): int(hours) for code, trade, hours in moved}
    for code, title in [(code, title) for own, code, title in _changes.RESCOPED if own == name]:
        package = next(each for each in _jobs.packages() if each.code == code)
        rows = [{**row, "title": title} for row in _estimate(package)]
        for row in rows:
            hours = int(row["budget_hours"]) + added[code, row["trade"]]
            row["budget_hours"] = str(hours)
        command = f"load estimate --job FERRY --baseline-change {name}"
        made.add(day, command, f"{folder}/changes/replanned-{day}.csv", dict_table(rows))


def main() -> None:
    """Write the files, and take away what earlier runs left in their folders."""
    made = files()
    for folder in FOLDERS:
        for old in (SAMPLE / folder).rglob("*.*"):
            if old.relative_to(SAMPLE).as_posix() not in made:
                old.unlink()
    for path, text in made.items():
        (SAMPLE / path).parent.mkdir(parents=True, exist_ok=True)
        (SAMPLE / path).write_text(text, encoding="utf-8", newline="\n")
    print(f"{len(made)} files, {sum(map(len, made.values()))} characters")


if __name__ == "__main__":
    main()
