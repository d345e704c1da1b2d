"""Leave that is known ahead: who is away from when to when."""

from collections import defaultdict
from itertools import pairwise

from ledger.errors import Fault
from ledger.inputs import columns
from ledger.inputs.outcomes import FileLoaded
from ledger.inputs.small_files import supersede
from ledger.inputs.yard_files import file_loaded, refuse_equal_keys
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow, ReadTable

LONGEST_DAYS = 3 * 366


def load_leave(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add leave by its first day; the same worker and first day with another last day supersedes.

    A worker who is not in the crew is named, as the crew may be loaded later.
    """
    table = read_input(book, file, columns.LEAVE)
    for line in table.lines:
        _check(table, line)
    refuse_equal_keys(table, ("worker_id", "day_from"))
    _refuse_overlaps(table)
    table.settle()
    loaded = supersede(book, batch, "leave", [line.values for line in table.lines])
    return file_loaded(table, [loaded], _not_in_crew(book, table))


def _check(table: ReadTable, line: FileRow) -> None:
    first, last = line["day_from"], line["day_to"]
    if first and last and not 0 <= (last - first).days < LONGEST_DAYS:
        why = "is before" if last < first else "is over three years after"
        table.fault(line.number, f"to {last} {why} from {first}")


def _refuse_overlaps(table: ReadTable) -> None:
    """Refuse leave of a worker that overlaps within a file; the same rows twice are no matter."""
    spans: dict[str, list[FileRow]] = defaultdict(list)
    for line in table.lines:
        if line["worker_id"] and line["day_from"] and line["day_to"]:
            spans[line["worker_id"]].append(line)
    for worker, lines in spans.items():
        lines.sort(key=lambda line: (line["day_from"], line.number))
        for earlier, later in pairwise(lines):
            if earlier["day_from"] < later["day_from"] <= earlier["day_to"]:
                what = f"the leave of worker {worker} overlaps that on line {earlier.number}"
                table.fault(later.number, what)


def _not_in_crew(book: Book, table: ReadTable) -> list[Fault]:
    crew = {row["worker_id"] for row in book.current("crew")}
    return [
        Fault(table.file.name, line.number, f'worker "{line["worker_id"]}" is not in the crew')
        for line in table.lines
        if line["worker_id"] not in crew
    ]
