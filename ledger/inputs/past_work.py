"""What finished jobs of the past took, and the quantities of which an estimate is drawn up."""

from pathlib import Path

from ledger.inputs import columns
from ledger.inputs.outcomes import FileLoaded
from ledger.inputs.small_files import supersede
from ledger.inputs.yard_files import file_loaded, refuse_equal_keys
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.schema import TABLES
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow, ReadTable, read_table
from ledger.tables.whole_files import read_text


def load_past_work(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add the hours that a past job took for a quantity of a kind of work, by trade."""
    table = read_input(book, file, columns.PAST_WORK)
    _refuse_nothing(table)
    quantities: dict[tuple[str, str, str], FileRow] = {}
    for line in table.lines:
        work = (line["past_job"], line["work_kind"], line["unit"])
        first = quantities.setdefault(work, line)
        if first["quantity"] != line["quantity"]:
            what = f"line {first.number} has the same work with quantity {first['quantity']:f}"
            table.fault(line.number, what, "quantity")
    refuse_equal_keys(table, TABLES["past_work"].key)
    table.settle()
    rows = [line.values for line in table.lines]
    return file_loaded(table, [supersede(book, batch, "past_work", rows)])


def read_quantities(path: Path) -> list[FileRow]:
    """Return the packages to be estimated.

    Raises: Faults with all that is wrong with the file.
    """
    table = read_table(read_text(path), columns.QUANTITIES)
    _refuse_nothing(table)
    for line in table.lines:
        start, finish = line["planned_start"], line["planned_finish"]
        if start and finish and finish < start:
            table.fault(line.number, f"planned_finish {finish} is before planned_start {start}")
    refuse_equal_keys(table, ("work_package",))
    table.settle()
    return table.lines


def _refuse_nothing(table: ReadTable) -> None:
    for line in table.lines:
        if line["quantity"] is not None and line["quantity"] <= 0:
            table.fault(
                line.number, f"quantity {line['quantity']:f} must be above zero", "quantity"
            )
