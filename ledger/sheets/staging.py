"""Texts of lines, `staged_raw`, from CSV files, rows of tabs and the book, and their meaning."""

import contextlib
import csv
import re
import tempfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.domain.parsing import each_line
from ledger.errors import FairhoursError, MemoryShort, Refused
from ledger.sheets.known_codes import stage_crew
from ledger.sheets.staged_lines import (
    COLUMNS_AT_MOST,
    StagedSource,
    fields_of,
    is_blank,
    lines_of,
    packed,
)
from ledger.sheets.worker_names import stage_names
from ledger.store import definitions, queries
from ledger.store.book import IN_MEMORY, Book, connect
from ledger.store.errors import is_of_the_table
from ledger.store.queries import quoted
from ledger.tables.layouts import FIELDS
from ledger.tables.readings import Reading

LONGEST_LINE = 8_000_000
# Up to so many lines are understood one by one.
FEW_LINES = 2_000


@dataclass(frozen=True)
class CsvFile:
    """A CSV file as it is to be read, from its head on.

    `path` holds the bytes of `text`, UTF-8 with line feeds; the head stands on the line `first`.
    `stretches` says of a file of which lines were left out from which row on how many were;
    `with_raw` that the raw text of every line is wanted.
    """

    name: str
    path: Path
    text: str
    head: Sequence[str]
    delimiter: str = ","
    first: int = 1
    stretches: Mapping[int, int] | None = None
    with_raw: bool = False


class NotInPlace(Exception):
    """A file of which lines were left out has rows that are not read as they stand."""


@dataclass(frozen=True)
class TabRows:
    """The rows of a tab below its head, each with its number, and the names of its columns."""

    tab: str
    head: Sequence[str]
    rows: Iterable[tuple[int, Sequence[str]]]


@dataclass(frozen=True)
class Staged:
    """What a table came to: its sheet lines, the rows they stand in, and all its rows.

    `raw` is SQL of a line's text over the rows of `staged_csv` where these are read as they stand:
    then places count from 1 without a gap.
    """

    lines: int
    rows_used: int
    rows: int
    raw: str | None = None


@dataclass(frozen=True)
class CsvRows:
    """The rows of `staged_csv`: their heads and lines, the job of those without one, how many."""

    source: StagedSource
    default_job: str | None
    count: int


def begin(book: Book) -> None:
    """Make `staged_raw` anew, without lines."""
    columns = ", ".join(f"{name} VARCHAR" for name in FIELDS)
    book.execute(
        "CREATE OR REPLACE TEMP TABLE staged_text (line_batch BIGINT, line_row BIGINT,"
        " place BIGINT, line BIGINT, is_total BOOLEAN, sum_key VARCHAR, raw VARCHAR,"
        f" default_job VARCHAR, date_wrong VARCHAR, hours_wrong VARCHAR, {columns})"
    )
    book.view("raw", "FROM staged_text")


def stage_csv(book: Book, file: CsvFile, reading: Reading, default_job: str | None) -> Staged:
    """Stage the rows of a file with their line numbers and raw text.

    Raises: Refused, naming the line, when a row has not as many cells as the head; NotInPlace.
    """
    try:
        read = _read_csv(book, file.path, file.delimiter, range(1, len(file.head) + 1))
    except FairhoursError as error:
        if not is_of_the_table(error):
            raise _unread(file, error) from error.__cause__
        _starts(file)
        near = re.search(r"on Line: ([0-9]+)", str(error.__cause__))
        line = int(near[1]) + file.first - 1 if near else file.first
        raise Refused("row_astray", file=file.name, line=line) from None
    # Row ids of a table made in this transaction do not begin at 0.
    place = "c.rowid - (SELECT min(rowid) FROM staged_csv)"
    if _is_plain(book, file, read):
        # Every record is one line, so that its number follows from its place.
        source = StagedSource(file.head, f"{place} + {file.first + 1}")
        may_stay = reading.as_written and not file.with_raw
        first = _first_in_place(book, source) if may_stay else None
        if first is not None:
            return _read_in_place(book, file, CsvRows(source, default_job, read), first)
        if file.stretches is None:
            begin(book)
            return _add(book, CsvRows(source, default_job, read), reading)
    if file.stretches is not None:
        raise NotInPlace
    starts, empty = _starts(file)
    begin(book)
    source = StagedSource(file.head, f"($starts::BIGINT[])[{place} + 1] + {file.first - 1}")
    rows = CsvRows(source, default_job, len(starts) + empty)
    return _add(book, rows, reading, starts=list(starts))


def _first_in_place(book: Book, source: StagedSource) -> int | None:
    """Return the row id of the first row, None where a row is blank."""
    rows = book.execute(
        "SELECT (SELECT min(rowid) FROM staged_csv),"
        f" EXISTS (SELECT 1 FROM staged_csv AS c WHERE {is_blank(source)})"
    ).fetchall()
    first, has_blank = rows[0]
    return None if has_blank else first or 0


def _read_in_place(book: Book, file: CsvFile, rows: CsvRows, first: int) -> Staged:
    """Let `staged_raw` be the rows of `staged_csv`, whose heads and texts are ours already.

    `first` is the id of the first row.
    """
    source, default_job = rows.source, rows.default_job
    at = f"c.rowid - {first}"
    left_out = "".join(
        f" WHEN {at} >= {row} THEN {lines}"
        for row, lines in sorted((file.stretches or {}).items(), reverse=True)
    )
    line = f"{at} + {file.first + 1}" + (f" + CASE{left_out} ELSE 0 END" if left_out else "")
    job = "NULL::VARCHAR" if default_job is None else quoted(default_job)
    book.view(
        "raw",
        "SELECT NULL::BIGINT AS line_batch, NULL::BIGINT AS line_row,"
        f" ({at} + 1) * {COLUMNS_AT_MOST} AS place, {line} AS line, false AS is_total,"
        f" NULL::VARCHAR AS sum_key, NULL::VARCHAR AS raw, {job} AS default_job,"
        " NULL::VARCHAR AS date_wrong, NULL::VARCHAR AS hours_wrong,"
        f" {', '.join(fields_of(source))} FROM staged_csv AS c",
    )
    return Staged(rows.count, rows.count, rows.count, f"{packed(source)}::VARCHAR")


def stage_raw_of_held(book: Book, raw: str | None) -> None:
    """Stage in `staged_held_raw` the text of each judged line that is held.

    `raw` is that of `Staged` where the rows were read as they stand.
    """
    if raw is None:
        book.stage("held_raw", "sheets/raw_of_held")
        return
    book.execute(
        f"CREATE OR REPLACE TEMP TABLE staged_held_raw AS SELECT j.place, {raw} AS raw FROM"
        f" (SELECT place, place // {COLUMNS_AT_MOST} - 1 + (SELECT min(rowid) FROM staged_csv)"
        " AS at FROM staged_judged WHERE outcome = 'held') AS j"
        " INNER JOIN staged_csv AS c ON c.rowid = j.at"
    )


def stage_texts(book: Book, query: str, **inputs: object) -> int:
    """Stage in `staged_raw` texts of lines that a query gives of the book; return how many."""
    lines = book.stage("text", query, **inputs)
    book.view("raw", "FROM staged_text")
    return lines


def take_written(book: Book) -> None:
    """Let `staged_raw` be the texts of `staged_written`."""
    book.view("raw", "FROM staged_written")


def take_none(book: Book) -> None:
    """Stage no texts, of which nothing is understood."""
    book.stage_none("text", "sheets/lines_corrected")
    book.view("raw", "FROM staged_text")
    book.stage_none("parsed", "sheets/lines_parsed")


def understand(book: Book, lines: int) -> None:
    """Stage in `staged_parsed` what is understood of the lines of `staged_raw`, so many of them.

    Many have the same texts, which are understood once; for few, finding these takes longer.
    """
    stage_crew(book)
    understood = f"sheets/lines_understood{'_singly' if lines <= FEW_LINES else ''}"
    if not stage_names(book):
        book.view_of("understood", understood)
        book.stage("parsed", "sheets/lines_parsed")
        return
    book.view_of("understood_by_id", understood)
    book.view_of("understood", "sheets/lines_named")
    book.stage("parsed", "sheets/lines_parsed")
    restage_parsed(book, "sheets/lines_of_names")


def restage_parsed(book: Book, query: str) -> None:
    """Stage in `staged_parsed` what a query makes of the lines that are there."""
    book.stage("parsed", query)


def add_parsed(book: Book, query: str) -> None:
    """Add lines that need not be read to what is understood of those that were."""
    text = f"INSERT INTO staged_parsed BY NAME FROM {queries.without_order(query)}"
    book.execute(text, book.inputs_of(query, {}))


def _unread(file: CsvFile, error: FairhoursError) -> FairhoursError:
    """Return what is said when the file's own bytes could not be got a second time."""
    if str(file.path) not in str(error.__cause__) or isinstance(error, MemoryShort):
        return error
    if not file.path.is_file():
        return Refused("sheets_gone", file=file.name)
    return Refused("sheets_unread", file=file.name, because=error)


def stage_tab(book: Book, tab: TabRows, reading: Reading, default_job: str | None) -> Staged:
    """Stage the rows of a tab of a workbook, with tab and row in the raw text."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tab.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, quoting=csv.QUOTE_ALL, lineterminator="\n")
            writer.writerow(["row", *tab.head])
            writer.writerows([number, *cells] for number, cells in tab.rows)
        read = _read_csv(book, path, ",", range(len(tab.head) + 1))
    source = StagedSource(tab.head, "c.c0::BIGINT", tab.tab)
    return _add(book, CsvRows(source, default_job, read), reading)


def _read_csv(book: Book, path: Path, delimiter: str, places: range) -> int:
    """Read a CSV file into `staged_csv`, columns c1, c2, ... of text; return how many records."""
    columns = ", ".join(f"'c{place}': 'VARCHAR'" for place in places)
    read = book.execute(
        "CREATE OR REPLACE TEMP TABLE staged_csv AS SELECT * FROM read_csv($path,"
        " auto_detect = false, header = true,"
        f" delim = {quoted(delimiter)}, quote = '\"', escape = '\"',"
        f" columns = {{{columns}}}, max_line_size = {LONGEST_LINE}, strict_mode = true,"
        " hive_partitioning = false)",
        {"path": str(path)},
    )
    row = read.fetchone()
    return int(row[0]) if row else 0


def _is_plain(book: Book, file: CsvFile, read: int) -> bool:
    """Return whether every record is one line with exactly as many cells as the head.

    Every delimiter of the text is in a value or between two; the reader passes over one at the end.
    It also passes over blanks beside quotes, where they may be part of the text.
    """
    has_quotes = '"' in file.text
    blanks = {" ", "\t"} - {file.delimiter} if has_quotes else set()
    if any(f'{blank}"' in file.text or f'"{blank}' in file.text for blank in blanks):
        return False
    end = len(file.text)
    while file.text.endswith("\n", 0, end):
        end -= 1
    if file.text.count("\n", 0, end) != read:
        return False
    head = file.text.count(file.delimiter, 0, file.text.find("\n"))
    between = read * (len(file.head) - 1) + head
    within = _delimiters_within(book, file) if has_quotes else 0
    return file.text.count(file.delimiter) == between + within


def _delimiters_within(book: Book, file: CsvFile) -> int:
    """Return how many delimiters stand in values; only quotes can hold one."""
    mark = quoted(file.delimiter)
    within = " + ".join(
        f"coalesce(sum(length(c{at}) - length(replace(c{at}, {mark}, ''))), 0)"
        for at in range(1, len(file.head) + 1)
    )
    row = book.execute(f"SELECT {within} FROM staged_csv").fetchone()
    return int(row[0]) if row else 0


def _starts(file: CsvFile) -> tuple[list[int], int]:
    """Return the line of each record and the number of empty lines; each fits the head."""
    reader = csv.reader(each_line(file.text), strict=True, delimiter=file.delimiter)
    starts: list[int] = []
    last = empty = 0
    above = file.first - 1
    try:
        for cells in reader:
            first, last = last + 1, reader.line_num
            if not cells:
                empty += 1
                continue
            if len(cells) != len(file.head):
                raise Refused(
                    "row_uneven",
                    file=file.name,
                    line=first + above,
                    cells=len(cells),
                    head=len(file.head),
                )
            starts.append(first)
    except csv.Error as error:
        line = reader.line_num + above
        raise Refused("quotes_astray", file=file.name, line=line, said=str(error)) from None
    return starts[1:], empty


def _add(book: Book, rows: CsvRows, reading: Reading, **inputs: object) -> Staged:
    """Add the lines of `staged_csv` to `staged_raw`; `inputs` are those of the lines' numbers."""
    source = rows.source
    is_a_line_a_row = not (reading.days or reading.total)
    before = (0, 0) if is_a_line_a_row else _counted(book)
    inputs |= source.inputs | {"default_job": rows.default_job}
    added = book.execute(f"INSERT INTO staged_text BY NAME {lines_of(source, reading)}", inputs)
    if is_a_line_a_row:
        count = int(added.fetchall()[0][0])
        return Staged(count, count, rows.count)
    lines, used = (after - earlier for after, earlier in zip(_counted(book), before, strict=True))
    return Staged(lines, used, rows.count)


def _counted(book: Book) -> tuple[int, int]:
    """Return how many lines are staged, and in how many rows of tables they stand."""
    row = book.execute(
        f"SELECT count(*), count(DISTINCT place // {COLUMNS_AT_MOST})"
        " FROM staged_text WHERE NOT is_total"
    ).fetchone()
    return (int(row[0]), int(row[1])) if row else (0, 0)


@dataclass(frozen=True)
class Total:
    """A total of a sheet beside what the lines above it come to, in milliseconds.

    `part_ms` is of the lines since the total before it.
    """

    line: int
    raw: str
    text: str
    ms: int | None
    lines_ms: int
    part_ms: int
    lines_unread: int


def take_totals(book: Book) -> list[Total]:
    """Take the rows of totals out of `staged_parsed`, each with the sum of the lines above it."""
    rows = book.execute(
        "WITH totals AS (SELECT *, lag(place) OVER (PARTITION BY sum_key ORDER BY place) AS before"
        " FROM staged_parsed WHERE is_total AND duration_text IS NOT NULL)"
        " SELECT t.line, r.raw, t.duration_text, t.ms, coalesce(sum(l.ms), 0)::BIGINT,"
        " coalesce(sum(l.ms) FILTER (WHERE l.place > coalesce(t.before, -1)), 0)::BIGINT,"
        " count(*) FILTER (WHERE l.place IS NOT NULL AND l.ms IS NULL)"
        " FROM totals AS t INNER JOIN staged_raw AS r ON r.place = t.place"
        " LEFT JOIN staged_parsed AS l"
        " ON l.sum_key = t.sum_key AND NOT l.is_total AND l.place < t.place"
        " GROUP BY t.place, t.line, r.raw, t.duration_text, t.ms ORDER BY t.place"
    ).fetchall()
    book.execute("DELETE FROM staged_parsed WHERE is_total")
    return [Total(*row) for row in rows]


@dataclass(frozen=True)
class PreviewLine:
    """A line as it would be read: where it stands, and what was understood, or why not."""

    line: int
    worker_id: str | None
    day: str | None
    ms: int | None
    booking_code: str | None
    wrong: str | None


def preview(book: Book, limit: int) -> list[PreviewLine]:
    """Return the first parsed lines."""
    rows = book.execute(
        "SELECT p.line, CASE WHEN starts_with(p.worker_id, chr(31)) THEN bare(r.worker_name)"
        " ELSE p.worker_id END, coalesce(p.day::VARCHAR, p.date_text), p.ms, p.booking_code,"
        " coalesce(p.date_wrong, p.hours_wrong,"
        " CASE WHEN p.day IS NULL THEN 'not a valid date' END,"
        " CASE WHEN p.ms IS NULL THEN 'not a valid duration' END)"
        " FROM staged_parsed AS p INNER JOIN staged_raw AS r ON r.place = p.place"
        f" WHERE NOT p.is_total ORDER BY p.place LIMIT {limit}"
    ).fetchall()
    return [PreviewLine(*row) for row in rows]


@contextlib.contextmanager
def scratch_book() -> Iterator[Book]:
    """Give an empty book in memory, to read a file without loading it."""
    with contextlib.closing(connect(IN_MEMORY, read_only=False)) as connection:
        book = Book(connection, IN_MEMORY)
        for statement in definitions.statements():
            book.execute(statement)
        yield book
