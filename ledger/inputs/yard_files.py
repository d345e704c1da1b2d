"""Loads that concern the whole yard: crew, rates, rules."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.baseline.rates import fill_budget_rates
from ledger.domain.shares import CREW_HOURS
from ledger.errors import Fault
from ledger.inputs import columns
from ledger.inputs.outcomes import (
    BudgetsRated,
    EmploymentBlank,
    FileLoaded,
    RuleAstray,
    WholesLoaded,
)
from ledger.inputs.small_files import replace_wholes, supersede
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.patterns import pattern_fault
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow, ReadTable

ALWAYS = date(1, 1, 1)


def load_crew(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add workers; a worker's name is kept apart from the rest."""
    table = read_input(book, file, columns.CREW)
    for line in table.lines:
        start, end = line["active_from"], line["active_to"]
        if start and end and end < start:
            table.fault(line.number, f"active_to {end} is before active_from {start}")
    refuse_equal_keys(table, ("worker_id", "active_from"))
    table.settle()
    rows = [{**line.values, "active_from": line["active_from"] or ALWAYS} for line in table.lines]
    _names(book, batch, rows)
    crew = [{name: value for name, value in row.items() if name != "name"} for row in rows]
    return file_loaded(table, [supersede(book, batch, "crew", crew), *_employment_blank(rows)])


def _employment_blank(rows: Iterable[dict[str, Any]]) -> list[EmploymentBlank]:
    """Return the workers with a supplier of whom nothing says that it is paid for them."""
    supplied = (row for row in rows if row["supplier"] and not row["employment"])
    workers = tuple(dict.fromkeys(row["worker_id"] for row in supplied))
    return [EmploymentBlank(workers)] if workers else []


def _names(book: Book, batch: Batch, rows: list[dict[str, Any]]) -> None:
    known = {row["worker_id"]: row for row in book.current("worker_name")}
    fresh: dict[str, list[Any]] = defaultdict(list)
    for worker, name in {row["worker_id"]: row["name"] for row in rows}.items():
        before = known.get(worker)
        if before and before["name"] == name:
            continue
        fresh["worker_id"].append(worker)
        fresh["name"].append(name)
    batch.append("worker_name", fresh)


def load_rates(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add cost rates; budgets frozen without a rate take theirs."""
    table = read_input(book, file, columns.RATES)
    for line in table.lines:
        if line["trade"] is None and line["worker_id"] is None:
            table.fault(line.number, "has neither a trade nor a worker")
    refuse_equal_keys(table, ("trade", "grade", "worker_id", "effective_from"))
    table.settle()
    outcomes: list[Outcome] = [supersede(book, batch, "rate", [x.values for x in table.lines])]
    if count := fill_budget_rates(book, batch):
        outcomes.append(BudgetsRated(count))
    return file_loaded(table, outcomes)


def load_charge_rates(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add what the owner pays an hour, by trade and grade, for one job."""
    table = read_input(book, file, columns.CHARGE_RATES)
    refuse_equal_keys(table, ("trade", "grade", "effective_from"))
    table.settle()
    rows = [{"job": job, **line.values} for line in table.lines]
    return file_loaded(table, [supersede(book, batch, "charge_rate", rows)])


def load_rules(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add rules, each whole with its shares."""
    table = read_input(book, file, columns.RULES)
    rules: dict[str, list[FileRow]] = defaultdict(list)
    for line in table.lines:
        if line["rule"]:
            rules[line["rule"]].append(line)
    for lines in rules.values():
        _check_rule(table, lines)
        pattern = lines[0]["note_matches"]
        if pattern and (wrong := pattern_fault(book, pattern)):
            table.fault(
                lines[0].number, f'note_matches "{pattern}" is not a valid pattern: {wrong}'
            )
    table.settle()
    wholes = {rule: _rule_rows(lines) for rule, lines in rules.items()}
    changed = replace_wholes(book, batch, "rule", wholes, "rule")
    loaded = WholesLoaded("rule", changed, len(rules) - changed)
    return file_loaded(table, [loaded, *_leading_nowhere(book, table)])


def _leading_nowhere(book: Book, table: ReadTable) -> list[RuleAstray]:
    """Return each rule whose booked_to is no code of any job yet."""
    known = {row[1] for row in book.rows("jobs/codes_known")} | KEPT_PLACES
    return [
        RuleAstray(line.number, line["rule"], line["booked_to"])
        for line in table.lines
        if line["booked_to"] and line["booked_to"] not in known
    ]


KEPT_PLACES = {"OVERHEAD", "ABSENCE", "NON_PRODUCTIVE", "UNTAGGED"}


CONDITIONS = (
    "priority",
    "booking_code",
    "note_contains",
    "note_matches",
    "worker_id",
    "trade",
    "job",
    "day_from",
    "day_to",
    "share_by",
)


def _check_rule(table: ReadTable, lines: list[FileRow]) -> None:
    first = lines[0]
    for line in lines[1:]:
        differing = [name for name in CONDITIONS if line[name] != first[name]]
        if differing:
            table.fault(line.number, f"differs from the rule's first row in {', '.join(differing)}")
    if first["share_by"] == CREW_HOURS:
        _check_crew_hours(table, lines)
        return
    shares = [line["share"] if line["share"] is not None else Decimal(1) for line in lines]
    if sum(shares) != 1:
        table.fault(lines[-1].number, f"the rule's shares add up to {sum(shares)}, not to 1")


def _check_crew_hours(table: ReadTable, lines: list[FileRow]) -> None:
    """Where the hours go is what the crew booked; a rule that says it too would be of two minds."""
    for line in lines[1:]:
        table.fault(line.number, f"share_by {CREW_HOURS} takes one row for a rule")
    first = lines[0]
    filled = [name for name in ("booked_to", "cause", "share") if first[name] is not None]
    if filled:
        why = f"share_by {CREW_HOURS} books to what the crew worked on"
        table.fault(first.number, f"{why}; leave {', '.join(filled)} blank")


def _rule_rows(lines: list[FileRow]) -> list[dict[str, Any]]:
    return [
        {
            **line.values,
            "position": position,
            "share_by": CREW_HOURS if line["share_by"] == CREW_HOURS else None,
            "share": (line["share"] if line["share"] is not None else Decimal(1)).quantize(
                Decimal("0.000000001")
            ),
        }
        for position, line in enumerate(lines, start=1)
    ]


def refuse_equal_keys(table: ReadTable, key: tuple[str, ...]) -> None:
    seen: dict[tuple[Any, ...], FileRow] = {}
    for line in table.lines:
        identity = tuple(line[name] for name in key)
        before = seen.setdefault(identity, line)
        if before.values != line.values:
            named = ", ".join(str(part) for part in identity if part is not None)
            table.fault(line.number, f"{named} is also on line {before.number}, with other values")


def file_loaded(
    table: ReadTable, outcomes: Iterable[Outcome], slips: Iterable[Fault] = ()
) -> FileLoaded:
    """Return what came of a table's rows, with what of its file was left out."""
    return FileLoaded(
        table.file.name,
        tuple(outcomes),
        tuple(table.unknown_columns),
        tuple(table.tabs_left_out),
        tuple(slips),
        tuple(table.rows_left_out),
        tuple(table.totals_unchecked),
    )
