"""Named baseline changes: the hours that they move, each change whole."""

from collections import defaultdict

from ledger.baseline.baseline_changes import balance_of, post_baseline_change
from ledger.baseline.freeze import hours
from ledger.baseline.postings import POTS, is_frozen
from ledger.changes.requests import changes_of
from ledger.errors import Refused, Remedy
from ledger.inputs import columns
from ledger.inputs.outcomes import BaselineChangesLoaded, BaselineKept, FileLoaded
from ledger.inputs.replan_files import at_line, packages_waiting
from ledger.inputs.small_files import replace_whole
from ledger.inputs.yard_files import file_loaded
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow, ReadTable


def load_baseline_changes(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add named baseline changes, each whole and summing to nothing, and post them."""
    table = read_input(book, file, columns.BASELINE_CHANGES)
    if not is_frozen(book, job):
        estimate = Remedy("load", what="estimate")
        raise Refused("estimate_not_frozen", file=table.file.name, job=job, remedy=estimate)
    named: dict[str, list[FileRow]] = defaultdict(list)
    for line in table.lines:
        named[line["name"]].append(line)
    for lines in named.values():
        total = sum(line["ms"] or 0 for line in lines)
        if total:
            table.fault(
                lines[-1].number, f"the rows of a change add up to {hours(total)} h, not to 0"
            )
        if len({line["day"] for line in lines}) > 1:
            table.fault(lines[-1].number, "the rows of a change must have one date")
    open_ones = {c for c, change in changes_of(book, job).items() if not change.is_approved}
    known = {row[0] for row in book.rows("jobs/codes_of_job", job=job)} | set(POTS)
    for line in table.lines:
        waiting = packages_waiting(book, job, line["name"])
        if line["work_package"] and line["work_package"] not in known | waiting:
            table.fault(line.number, f'"{line["work_package"]}" is not a package of job {job}')
        elif line["work_package"] in open_ones:
            what = f"{line['work_package']} is not approved; hours move to approved changes only"
            table.fault(line.number, what)
        elif line["work_package"] not in POTS and line["trade"] is None:
            table.fault(line.number, "trade is blank; hours of a package need a trade")
    table.settle()
    posted = [_post_named(book, batch, job, table, lines) for lines in named.values()]
    kept = [each for each in posted if each]
    return file_loaded(table, [BaselineChangesLoaded(len(kept), len(posted)), *kept])


def _post_named(
    book: Book, batch: Batch, job: str, table: ReadTable, lines: list[FileRow]
) -> BaselineKept | None:
    """Record and post one change; return what stands in the budgets before and after it.

    None when it is recorded already.
    """
    name = lines[0]["name"]
    rows = [
        {"job": job, "position": position, **line.values}
        for position, line in enumerate(lines, start=1)
    ]
    had = any(row["name"] == name and row["job"] == job for row in book.current("baseline_change"))
    if not replace_whole(book, batch, "baseline_change", rows, {"job": job, "name": name}):
        return None
    if had:
        raise Refused("baseline_change_known", name=name)
    before = balance_of(book, job)
    try:
        replanned = post_baseline_change(book, batch, job, rows)
    except Refused as error:
        raise at_line(table, error) if error.kind in AT_ITS_LINE else error from None
    after = balance_of(book, job)
    assert before.whole_ms == after.whole_ms
    return BaselineKept(name, before, after, replanned)


# What is refused of one package; what is short of hours names the change.
AT_ITS_LINE = frozenset(
    {
        *("hours_on_complete", "hours_on_overrun", "planned_stays", "measured_since"),
        *("technique_kept", "replan_past"),
        *("replan_day_past", "replan_plan_sum", "replan_no_days", "replan_budget"),
        *("replan_trade_missing", "replan_kind", "replanned_since"),
        *("milestones_missing", "plan_trades_mixed"),
    }
)
