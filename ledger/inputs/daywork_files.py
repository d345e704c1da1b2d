"""Loads of daywork: items used on it, and the sheets on which it is agreed."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from ledger.changes.requests import Change, changes_of
from ledger.domain.codes import name_of
from ledger.errors import Remedy
from ledger.inputs import columns
from ledger.inputs.daywork_documents import check_document
from ledger.inputs.daywork_sheets import OF_THE_SHEET, Whole, sheet_faults, sheets_marked
from ledger.inputs.outcomes import FileLoaded, WholesLoaded
from ledger.inputs.small_files import Row, replace_whole, supersede
from ledger.inputs.yard_files import file_loaded
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.definitions import ERASED
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow, ReadTable

# What identifies an item of a change beside its number; alike ones are told apart by their order.
OF_AN_ITEM = ("day", "cost_kind", "description", "reference")


def load_daywork_items(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add materials, plant and subcontract used on daywork."""
    table = read_input(book, file, columns.DAYWORK_ITEMS)
    known = changes_of(book, job)
    for line in table.lines:
        _check_change(table, line, known)
        if line["job"] not in {None, job}:
            what = f"job {line['job']} is not {job}; load its rows with those of its job"
            table.fault(line.number, what, "job")
    table.settle()
    rows = _numbered(book, job, [{**line.values, "job": job} for line in table.lines])
    return file_loaded(table, [supersede(book, batch, "daywork_item", rows)])


def _check_change(table: ReadTable, line: FileRow, known: Mapping[str, Change]) -> None:
    code = line["change"]
    if code and code not in known:
        first = Remedy("load_first", what="changes")
        table.fault(line.number, f'unknown change "{code}"', "change", remedy=first)
    elif code and known[code].facts["change_basis"] != "daywork":
        basis = known[code].facts["change_basis"]
        what = f"{code} is {basis}, not daywork; name a daywork change, or leave the row out"
        table.fault(line.number, what, "change")


def _numbered(book: Book, job: str, rows: list[Row]) -> list[Row]:
    """Return rows with the number of their item: the n-th of some alike is the n-th in the book.

    A number is never given again, so that a sheet never comes to mean another item.
    """
    last: dict[str, int] = dict(book.rows("changes/daywork_item_numbers", job=job))
    known: dict[object, list[Row]] = defaultdict(list)
    erased: dict[object, list[Row]] = defaultdict(list)
    for item in book.records("changes/daywork_items_known", job=job):
        known[_identity(item)].append(item)
        if ERASED.strip("'") in {item["description"], item["reference"]}:
            erased[_but_texts(item)].append(item)
    return [_with_number(row, known, erased, last) for row in rows]


def _with_number(
    row: Row,
    known: dict[object, list[Row]],
    erased: dict[object, list[Row]],
    last: dict[str, int],
) -> Row:
    if alike := known[_identity(row)]:
        return {**row, "number": alike.pop(0)["number"]}
    if alike := erased[_but_texts(row)]:  # An erased text is like any.
        item = alike.pop(0)
        texts = {name: item[name] for name in ("description", "reference")}
        return {**row, **texts, "number": item["number"]}
    last[row["change"]] = last.get(row["change"], 0) + 1
    return {**row, "number": last[row["change"]]}


def _identity(row: Row) -> object:
    return (row["change"], *(_folded(row[name]) for name in OF_AN_ITEM))


def _but_texts(row: Row) -> object:
    return tuple(row[name] for name in ("change", "day", "cost_kind", "quantity", "unit_cost"))


def _folded(value: object) -> object:
    return name_of(value) if isinstance(value, str) else value


def load_daywork_sheets(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add daywork sheets, each whole; what was agreed is compared with what is booked."""
    table = read_input(book, file, columns.DAYWORK_SHEETS)
    wholes = _sheets_of(book, table, job)
    written = [row for row in _known_rows(book, job) if row["batch"] == batch.sequence]
    for row in written:
        if lines := wholes.get((row["change"], row["daywork_sheet"])):
            what = f"{row['daywork_sheet']} is in another file of this load; put it into one file"
            table.fault(lines[0].number, what)
            break
    table.settle()
    changed = _write(book, batch, job, wholes)
    for each, place, what in sheet_faults(book, job, changed):
        table.fault(wholes[each][place].number, what)
    table.settle()
    loaded = WholesLoaded("daywork_sheet", len(changed), len(wholes) - len(changed))
    return file_loaded(table, [loaded, *sheets_marked(book, job, changed)])


def load_right_sheets(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add daywork sheets in the place of withdrawn rows; hours are compared in the book itself."""
    table = read_input(book, file, columns.DAYWORK_SHEETS)
    wholes = _sheets_of(book, table, job)
    table.settle()
    changed = _write(book, batch, job, wholes)
    return file_loaded(table, [WholesLoaded("daywork_sheet", len(changed), 0)])


def _known_rows(book: Book, job: str) -> list[Row]:
    return book.records("changes/daywork_sheets_known", job=job)


def _write(book: Book, batch: Batch, job: str, wholes: dict[Whole, list[FileRow]]) -> list[Whole]:
    """Append the sheets that are new or changed; return which."""
    changed = []
    for (change, sheet), lines in wholes.items():
        chosen = {"job": job, "change": change, "daywork_sheet": sheet}
        rows = [{**line.values, **chosen, "position": n} for n, line in enumerate(lines, start=1)]
        if replace_whole(book, batch, "daywork_sheet", rows, chosen):
            changed.append((change, sheet))
    return changed


def _sheets_of(book: Book, table: ReadTable, job: str) -> dict[Whole, list[FileRow]]:
    """Return the rows of each sheet, checked by themselves, items by their numbers."""
    known = changes_of(book, job)
    items = book.records("changes/daywork_items_known", job=job)
    wholes: dict[Whole, list[FileRow]] = defaultdict(list)
    for line in table.lines:
        _check_change(table, line, known)
        _check_days(table, line)
        _check_detail(table, line)
        check_document(book, table, line, job)
        line.values["item"] = _item_number(table, line, items)
        wholes[line["change"], line["daywork_sheet"]].append(line)
    for lines in wholes.values():
        _check_whole(table, lines)
    return wholes


def _check_whole(table: ReadTable, lines: Sequence[FileRow]) -> None:
    """Note a fault where rows of a sheet differ in what they share, or name one thing twice."""
    seen: dict[object, int] = {}
    astray = {fault.line for fault in table.faults}
    for line in (each for each in lines if each.number not in astray):
        named = line["worker_id"], line["day"] if line["worker_id"] else None, line["item"]
        before = seen.setdefault(named, line.number)
        if before != line.number:
            table.fault(line.number, f"names what line {before} names; leave one out")
        differing = [name for name in OF_THE_SHEET if line[name] != lines[0][name]]
        if differing:
            listed = ", ".join(name.removeprefix("day_") for name in differing)
            table.fault(line.number, f"differs from line {lines[0].number} in {listed}")


def _check_days(table: ReadTable, line: FileRow) -> None:
    start, end, agreed, day = (line[n] for n in ("day_from", "day_to", "agreed_on", "day"))
    if start and end and end < start:
        table.fault(line.number, f"to {end} is before from {start}")
    elif end and agreed and agreed < end:
        what = f"agreed_on {agreed} is before to {end}: a sheet is agreed when its work is done"
        table.fault(line.number, what)
    if start and end and day and not start <= day <= end:
        table.fault(line.number, f"date {day} is outside the sheet, {start} to {end}", "date")


# What a row that strikes off needs, and what it may not have with it.
DETAILS = {
    "worker_id": ({"day": "date", "agreed_ms": "agreed_hours"}, ("item", "agreed_quantity")),
    "item": ({"agreed_quantity": "agreed_quantity"}, ("worker_id", "agreed_ms")),
}
OF_A_DETAIL = ("day", "agreed_ms", "agreed_quantity", "reason")
NAMES = {"agreed_ms": "agreed_hours", "day": "date"}


def _check_detail(table: ReadTable, line: FileRow) -> None:
    named = next((name for name in DETAILS if not line.is_blank(name)), None)
    if named is None:
        extra = [
            n for n in ("day", "agreed_ms", "agreed_quantity", "reason") if line[n] is not None
        ]
        if extra:
            what = f"{NAMES.get(extra[0], extra[0])} needs the worker_id or the item it is of"
            table.fault(line.number, what)
        return
    needed, strangers = DETAILS[named]
    for stored, name in needed.items():
        if line.is_blank(stored):
            table.fault(line.number, f"a row with {named} needs {name}")
    for name in strangers:
        if line[name] is not None:
            what = f"{NAMES.get(name, name)} does not belong to a {named}; use a row of its own"
            table.fault(line.number, what)


def _item_number(table: ReadTable, line: FileRow, items: Sequence[Row]) -> int | None:
    """Return the number of the item named: by its reference, its description or its number."""
    named = line["item"]
    if named is None or not (line["day_from"] and line["day_to"]):
        return None
    of_days = [
        item
        for item in items
        if item["change"] == line["change"] and line["day_from"] <= item["day"] <= line["day_to"]
        if line["day"] in {None, item["day"]}
    ]
    for name in ("reference", "description", "number"):
        matching = [item for item in of_days if _folded(str(item[name])) == _folded(named)]
        if len(matching) == 1:
            number: int = matching[0]["number"]
            return number
        if matching:
            numbers = ", ".join(str(item["number"]) for item in matching)
            what = f'item "{named}" stands for several of {line["change"]}: use one of {numbers}'
            table.fault(line.number, what, "item")
            return None
    has = ", ".join(_named(item) for item in of_days) or "none"
    what = f'unknown item "{named}"; {line["change"]} has in these days: {has}'
    table.fault(line.number, what, "item")
    return None


def _named(item: Row) -> str:
    return f"{item['number']} ({item['reference'] or item['description']})"
