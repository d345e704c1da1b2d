"""Loads of what was paid: payroll, supplier's hours, and notes on differences."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.domain.codes import word_of
from ledger.domain.counting import counted
from ledger.domain.pay import LONGEST_PERIOD_DAYS, class_named, classes_of, kind_of_reason
from ledger.inputs import columns
from ledger.inputs.adding_up import add_up, added_up, rows_of_sums
from ledger.inputs.outcomes import FileLoaded, Strangers
from ledger.inputs.small_files import Row, columns_of, fresh_rows, supersede
from ledger.inputs.yard_files import file_loaded
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.schema import TABLES
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.near_miss import near_miss
from ledger.tables.small_tables import FileRow, ReadTable

PAYROLL_KEY = TABLES["payroll_line"].key


def load_payroll(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add hours paid, by worker, period and pay class.

    Raises: Faults, naming every line that cannot be right; then nothing is loaded.
    """
    table = read_input(book, file, columns.PAYROLL)
    classes = classes_of({row["name"]: row["value"] for row in book.current("setting")})
    for line in table.lines:
        if line["pay_class"]:
            line.values["pay_class"] = class_named(line["pay_class"], classes)
            if line["pay_class"] not in classes:
                table.fault(line.number, _unknown_class(line["pay_class"], classes), "pay_class")
    _refuse_periods(table)
    is_added_up = file.layout is not None and file.layout.add_up
    if not is_added_up:
        _refuse_repeats(table, PAYROLL_KEY, " or load by a layout with add_up = true")

    def paid_as(row: Row) -> Hashable:
        return row["worker_id"], classes.get(row["pay_class"])

    named = "worker {worker_id} is paid {pay_class}"
    _refuse_overlaps(table, book.current("payroll_line"), Overlapping(paid_as, named))
    table.settle()
    lines = add_up(table.lines, PAYROLL_KEY, ("ms", "gross"))
    rows = [line.values for line in lines]
    fresh, loaded = fresh_rows(book, "payroll_line", rows)
    batch.append("payroll_line", columns_of(fresh))
    sums = [line for line in lines if len(line.rows) > 1]
    batch.append("payroll_row", columns_of(rows_of_sums(table, sums, fresh)))
    return file_loaded(table, [loaded, *added_up(sums, PAYROLL_KEY), _strangers(book, rows)])


def _unknown_class(pay_class: str, classes: Iterable[str]) -> str:
    near = near_miss(pay_class, classes)
    hint = f"did you mean {near}?" if near else "give it a kind under [pay_classes] in the settings"
    return f'pay_class "{pay_class}" is unknown; {hint}'


def load_supplier_hours(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add the hours that suppliers charged, of a worker or of all their people together.

    Raises: Faults, naming every line that cannot be right; then nothing is loaded.
    """
    table = read_input(book, file, columns.SUPPLIER_HOURS)
    _refuse_periods(table)
    _refuse_repeats(table, TABLES["supplier_hours"].key)
    known = book.current("supplier_hours")
    each_worker = Overlapping(
        lambda row: row["worker_id"] and (word_of(row["supplier"]), row["worker_id"]),
        "{supplier} has hours of worker {worker_id}",
    )
    all_together = Overlapping(
        lambda row: None if row["worker_id"] else word_of(row["supplier"]),
        "{supplier} has hours without a worker",
    )
    for apart in (each_worker, all_together):
        _refuse_overlaps(table, known, apart)
    _refuse_both(table, known)
    table.settle()
    rows = [line.values for line in table.lines]
    loaded = supersede(book, batch, "supplier_hours", rows)
    crew = {word_of(row["supplier"]) for row in book.current("crew") if row["supplier"]}
    suppliers = sorted({row["supplier"] for row in rows})
    unknown = tuple(each for each in suppliers if word_of(each) not in crew)
    return file_loaded(table, [loaded, Strangers("suppliers", unknown), _strangers(book, rows)])


def _refuse_both(table: ReadTable, known: Iterable[Row]) -> None:
    """Refuse hours of one worker beside hours of all together: some would count twice."""
    whole: dict[str, list[Row]] = defaultdict(list)
    for row in known:
        whole[word_of(row["supplier"])].append(row)
    for line in _of_period(table):
        if not line["supplier"]:
            continue
        others = whole[word_of(line["supplier"])]
        for other in others:
            differs = (other["worker_id"] is None) != (line["worker_id"] is None)
            if differs and _overlap(other, line.values):
                named = "hours of all its people together" if line["worker_id"] else "hours by name"
                what = f"{line['supplier']} has {named} from {_days(other)}"
                table.fault(line.number, f"{what}; enter a period in one way")
                break
        others.append(line.values)


def load_payroll_notes(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add reasons that people give for differences, in hours paid less hours booked.

    Raises: Faults, naming every line that cannot be right; then nothing is loaded.
    """
    table = read_input(book, file, columns.PAYROLL_NOTES)
    for line in table.lines:
        if line.is_blank("worker_id") and line.is_blank("supplier"):
            table.fault(line.number, "has neither a worker nor a supplier")
        elif line["worker_id"] and line["supplier"]:
            table.fault(line.number, "has a worker and a supplier; leave one blank")
        if line["reason"] and not line["kind"]:
            line.values["kind"] = kind_of_reason(line["reason"])
    _refuse_periods(table)
    _refuse_repeats(table, TABLES["payroll_note"].key)
    _refuse_beyond(table, [*book.current("payroll_line"), *book.current("supplier_hours")])
    table.settle()
    rows = [line.values for line in table.lines]
    return file_loaded(
        table, [supersede(book, batch, "payroll_note", rows), _strangers(book, rows)]
    )


def _refuse_beyond(table: ReadTable, paid: Iterable[Row]) -> None:
    """Refuse notes that go beyond the pay period they are about: they would belong to no row."""
    periods: dict[Hashable, set[tuple[date, date]]] = defaultdict(set)
    for row in paid:
        periods[_party(row)].add((row["period_start"], row["period_end"]))
    for line in _of_period(table):
        start, end = line["period_start"], line["period_end"]
        near = sorted(each for each in periods[_party(line.values)] if _meet(each, (start, end)))
        if near and not any(first <= start and end <= last for first, last in near):
            what = f"the note is of {start} to {end}, beyond the pay period"
            own = "give each pay period a note of its own"
            table.fault(line.number, f"{what} {near[0][0]} to {near[0][1]}; {own}")


def _party(row: Row) -> Hashable:
    """Return whom hours paid, or a note, are of: a worker, else all people of a supplier."""
    return row["worker_id"] or (word_of(row["supplier"] or ""), "all")


def _meet(one: tuple[date, date], other: tuple[date, date]) -> bool:
    return one[0] <= other[1] and other[0] <= one[1]


def _strangers(book: Book, rows: Iterable[Row]) -> Strangers:
    crew = {row["worker_id"] for row in book.current("crew")}
    workers = {row["worker_id"] for row in rows if row["worker_id"]}
    return Strangers("workers", tuple(sorted(workers - crew)))


def _of_period(table: ReadTable) -> list[FileRow]:
    return [line for line in table.lines if line["period_start"] and line["period_end"]]


def _refuse_periods(table: ReadTable) -> None:
    for line in _of_period(table):
        start, end = line["period_start"], line["period_end"]
        if end < start:
            table.fault(line.number, f"period_end {end} is before period_start {start}")
        elif (days := (end - start).days + 1) > LONGEST_PERIOD_DAYS:
            long = counted(days, "day", "days")
            what = f"the period has {long}, at most {LONGEST_PERIOD_DAYS} are paid at once"
            table.fault(line.number, f"{what}; correct its dates")


def _refuse_repeats(table: ReadTable, key: tuple[str, ...], otherwise: str = "") -> None:
    """Refuse a key given twice, with the same hours too: they may be meant to add up."""
    remedy = f"add the hours into one row{',' if otherwise else ''}{otherwise}"
    seen: dict[tuple[Any, ...], int] = {}
    for line in table.lines:
        identity = tuple(line[name] for name in key)
        first = seen.setdefault(identity, line.number)
        if first != line.number:
            named = ", ".join(str(part) for part in identity if part is not None)
            table.fault(line.number, f"{named} is also on line {first}; {remedy}")


@dataclass(frozen=True)
class Overlapping:
    """Rows whose periods may not overlap: those of which `alike` is the same, and not None."""

    alike: Callable[[Row], Hashable]
    named: str


def _refuse_overlaps(table: ReadTable, known: Iterable[Row], which: Overlapping) -> None:
    """Refuse periods that overlap another, of the file or of the book, without being the same."""
    periods: dict[Hashable, PayPeriods] = defaultdict(PayPeriods)
    for row in known:
        if (alike := which.alike(row)) is not None:
            periods[alike].add(row, None)
    for line in _of_period(table):
        if line["period_end"] < line["period_start"] or not _is_whole(line):
            continue
        alike = which.alike(line.values)
        if alike is None:
            continue
        if overlapped := periods[alike].overlapping(line.values):
            other, number = overlapped
            where = f"line {number}" if number else "the book"
            what = f"{which.named.format(**line.values)} from {_days(other)} in {where}"
            table.fault(line.number, f"{what}, which overlaps {_days(line.values)}")
        else:
            periods[alike].add(line.values, number=line.number)


def _is_whole(line: FileRow) -> bool:
    return bool(line.values.get("worker_id") or line.values.get("supplier"))


class PayPeriods:
    """Periods that do not overlap, in order."""

    def __init__(self) -> None:
        self._ends: list[date] = []
        self._found: list[tuple[Row, int | None]] = []

    def add(self, row: Row, number: int | None) -> None:
        at = bisect_left(self._ends, row["period_end"])
        if at < len(self._ends) and self._ends[at] == row["period_end"]:
            return
        self._ends.insert(at, row["period_end"])
        self._found.insert(at, (row, number))

    def overlapping(self, row: Row) -> tuple[Row, int | None] | None:
        """Return a period that has days of this one and is not the same, with its line."""
        at = bisect_left(self._ends, row["period_start"])
        for other, number in self._found[at : at + 2]:
            if _overlap(other, row) and not _same(other, row):
                return other, number
        return None


def _overlap(one: Row, other: Row) -> bool:
    starts_by = one["period_start"] <= other["period_end"]
    return bool(starts_by and other["period_start"] <= one["period_end"])


def _same(one: Row, other: Row) -> bool:
    names = ("period_start", "period_end")
    return all(one[name] == other[name] for name in names)


def _days(row: Row) -> str:
    return f"{row['period_start']} to {row['period_end']}"
