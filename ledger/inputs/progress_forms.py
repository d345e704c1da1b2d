"""The progress form on its way back: a row with nothing filled in measures nothing."""

from ledger.domain.techniques import EVERYWHERE, FILLED_IN
from ledger.inputs import columns
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileColumn, FileRow, ReadTable, choice

MARK = "last_measured"  # No other file of progress has this column.
ONLY_ON_FORMS = (
    FileColumn("job"),
    FileColumn("title"),
    FileColumn("technique"),
    FileColumn("planned"),
    FileColumn("last"),
    FileColumn(MARK),
    FileColumn("reached", lambda text: choice("yes")(text.lower())),
)
MEASURES = ("percent", "quantity_done", "quantity_at_completion", *EVERYWHERE)
TO_FILL_IN = ("reached", *MEASURES, "estimate_to_complete_ms", "note")


def read_progress(book: Book, file: InputFile, job: str) -> tuple[ReadTable, int | None]:
    """Return a file's measurements, and of a form how many rows were left blank, else None.

    Raises: Refused when the head does not fit. Faults of rows are kept in the table.
    """
    table = read_input(book, file, columns.PROGRESS)
    if MARK not in table.head:
        return table, None
    form = read_input(book, file, (*columns.PROGRESS, *ONLY_ON_FORMS))
    form.tabs_left_out = []  # The form's own instructions.
    lines, form.lines = form.lines, []
    for line in lines:
        _check(form, line, job)
        if not all(line.is_blank(name) for name in TO_FILL_IN):
            form.lines.append(_as_measured(line))
    return form, len(lines) - len(form.lines)


def _as_measured(line: FileRow) -> FileRow:
    """Return the row as one of a file of progress: a milestone counts only where it is reached."""
    values = dict(line.values)
    if values["reached"] is None:
        values["milestone"] = None
    for column in ONLY_ON_FORMS:
        del values[column.name]
    return FileRow(line.number, values, line.unread)


def _check(form: ReadTable, line: FileRow, job: str) -> None:
    """Add a fault where the form is another job's, or a cell does not measure its package."""
    if line["job"] not in {None, job}:
        form.fault(line.number, f"this form is for job {line['job']}, not {job}", "job")
    if line["reached"] is not None and line["milestone"] is None:
        form.fault(line.number, "reached needs a milestone in its row", "reached")
    right = FILLED_IN.get(line["technique"], MEASURES)
    for name in MEASURES:
        if line[name] is not None and name not in (*right, *EVERYWHERE):
            what = (
                f"{name} does not measure {line['work_package']} ({line['technique']}); "
                f"fill in {' or '.join(right)}"
            )
            form.fault(line.number, what, name)
