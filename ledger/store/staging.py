"""Reading tables of text into the temporary table `staged_raw`: CSV files, or rows of tabs."""

import csv
import io
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import FairhoursError, Refused
from ledger.store.book import Book

LONGEST_LINE = 8_000_000
# Space, tab, line ends and the no-break space.
BLANKS = "' ' || chr(9) || chr(10) || chr(13) || chr(160)"
# The numbers of rows; no name of a head begins with a space.
ROW = " row"


@dataclass(frozen=True)
class CsvFile:
    """A CSV file as it is to be read: where, its text, its head, and the columns wanted."""

    name: str
    path: Path
    text: str
    head: Sequence[str]
    wanted: Sequence[str]
    default_job: str | None = None

    @property
    def lines_above(self) -> int:
        """How many empty lines stand above the head."""
        return len(self.text) - len(self.text.lstrip("\n"))


@dataclass(frozen=True)
class TabRows:
    """The rows of a tab below its head, each with its number, and the names of its columns."""

    tab: str
    head: Sequence[str]
    rows: Iterable[tuple[int, Sequence[str]]]


@dataclass(frozen=True)
class _Staged:
    """A table in `staged_csv`: its columns, how its rows are numbered, and the tab it is of."""

    names: Sequence[str]
    wanted: Sequence[str]
    line: str
    default_job: str | None
    tab: str | None = None
    starts: Sequence[int] = ()


def stage_csv(book: Book, file: CsvFile) -> tuple[int, int]:
    """Stage the rows of a file with their line numbers and raw text.

    Returns how many were staged and how many blank ones were left out.

    Raises: Refused, naming the line, when a row has not as many cells as the head.
    """
    names = _filled(file.head)
    try:
        read = _read_csv(book, file.path, names, file.lines_above)
    except FairhoursError:
        _starts(file)
        raise
    _make_raw(book, file.wanted)
    if _is_plain(book, file, (read, names)):
        # Every record is one line, so that its number follows from its place.
        line = f"c.rowid - (SELECT min(rowid) FROM staged_csv) + {file.lines_above + 2}"
        staged = _add(book, _Staged(names, file.wanted, line, file.default_job))
        return staged, read - staged + file.lines_above
    starts, empty = _starts(file)
    # Row ids of a table made in this transaction do not begin at 0.
    line = "($starts::BIGINT[])[c.rowid - (SELECT min(rowid) FROM staged_csv) + 1]"
    staged = _add(book, _Staged(names, file.wanted, line, file.default_job, starts=starts))
    return staged, len(starts) + empty - staged


def stage_tabs(
    book: Book, tabs: Iterable[TabRows], wanted: Sequence[str], default_job: str | None
) -> int:
    """Stage the rows of the tabs of a workbook, with tab and row in the raw text.

    Returns how many were staged.
    """
    _make_raw(book, wanted)
    staged = 0
    for tab in tabs:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "tab.csv"
            with path.open("w", encoding="utf-8", newline="") as file:
                writer = csv.writer(file, quoting=csv.QUOTE_ALL, lineterminator="\n")
                writer.writerow([ROW, *tab.head])
                writer.writerows([number, *cells] for number, cells in tab.rows)
            names = _filled(tab.head)
            _read_csv(book, path, [ROW, *names], 0)
        line = f"{_identifier(ROW)}::BIGINT"
        staged += _add(book, _Staged(names, wanted, line, default_job, tab.tab))
    return staged


def _filled(head: Sequence[str]) -> list[str]:
    return [name or f"column_{place}" for place, name in enumerate(head, start=1)]


def _quoted(name: str) -> str:
    return "'" + name.replace("'", "''") + "'"


def _identifier(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'


def _read_csv(book: Book, path: Path, names: Sequence[str], skip: int) -> int:
    """Read a CSV file into `staged_csv`, all as text; return how many records it has."""
    columns = ", ".join(f"{_quoted(name)}: 'VARCHAR'" for name in names)
    book.execute("DROP TABLE IF EXISTS staged_csv")
    book.execute(
        f"CREATE TEMP TABLE staged_csv AS SELECT * FROM read_csv($path, auto_detect = false,"
        f" header = true, delim = ',', quote = '\"', escape = '\"', columns = {{{columns}}},"
        f" max_line_size = {LONGEST_LINE}, strict_mode = true, skip = {skip})",
        {"path": str(path)},
    )
    found = book.execute("SELECT count(*) FROM staged_csv").fetchone()
    return int(found[0]) if found else 0


def _is_plain(book: Book, file: CsvFile, found: tuple[int, Sequence[str]]) -> bool:
    """Return whether every record is one line with exactly as many cells as the head.

    Every comma of the text is in a value or between two; the reader passes over one at the end.
    """
    read, names = found
    if file.text.rstrip("\n").count("\n") != read + file.lines_above:
        return False
    between = (read + 1) * (len(names) - 1)
    head = sum(name.count(",") for name in file.head)
    commas = " + ".join(
        f"sum(length({name}) - length(replace({name}, ',', '')))"
        for name in (f"coalesce({_identifier(each)}, '')" for each in names)
    )
    within = book.execute(f"SELECT coalesce({commas}, 0) FROM staged_csv").fetchone()
    return within is not None and file.text.count(",") == between + head + int(within[0])


def _starts(file: CsvFile) -> tuple[list[int], int]:
    """Return the line of each record and the number of empty lines; each fits the head."""
    reader = csv.reader(io.StringIO(file.text), strict=True)
    starts: list[int] = []
    last = empty = 0
    try:
        for cells in reader:
            first, last = last + 1, reader.line_num
            if not cells:
                empty += 1
                continue
            if len(cells) != len(file.head):
                raise Refused(
                    f"{file.name}:{first}: has {len(cells)} cells, the head {len(file.head)}; "
                    "mend the row and load again"
                )
            starts.append(first)
    except csv.Error as error:
        raise Refused(f"{file.name}:{reader.line_num}: {error}; mend the quotes") from None
    return starts[1:], empty


def _make_raw(book: Book, wanted: Sequence[str]) -> None:
    columns = ", ".join(f"{name} VARCHAR" for name in wanted)
    book.execute("DROP TABLE IF EXISTS staged_raw")
    book.execute(
        "CREATE TEMP TABLE staged_raw (line_batch BIGINT, line_row BIGINT, place BIGINT,"
        f" line BIGINT, raw VARCHAR, default_job VARCHAR, {columns})"
    )


def _add(book: Book, staged: _Staged) -> int:
    """Add the rows of `staged_csv` that are not blank to `staged_raw`; return how many."""
    wanted = ", ".join(
        f"nullif(trim({_identifier(name)}, {BLANKS}), '') AS {name}"
        if name in staged.names
        else f"NULL::VARCHAR AS {name}"
        for name in staged.wanted
    )
    packed = ", ".join(f"{_quoted(name)}: {_identifier(name)}" for name in staged.names)
    raw = f"to_json({{{packed}}})"
    inputs: dict[str, object] = {"default_job": staged.default_job}
    if staged.tab is not None:
        raw = f"to_json({{'tab': $tab, 'row': {staged.line}, 'cells': {raw}}})"
        inputs["tab"] = staged.tab
    if staged.starts:
        inputs["starts"] = list(staged.starts)
    blank = " AND ".join(
        f"nullif(trim({_identifier(name)}, {BLANKS}), '') IS NULL" for name in staged.names
    )
    added = book.execute(
        "INSERT INTO staged_raw SELECT NULL, NULL,"
        " (SELECT coalesce(max(place), 0) FROM staged_raw) + c.rowid"
        " - (SELECT min(rowid) FROM staged_csv) + 1 AS place,"
        f" {staged.line} AS line, {raw}::VARCHAR AS raw, $default_job::VARCHAR, {wanted}"
        f" FROM staged_csv AS c WHERE NOT ({blank})",
        inputs,
    ).fetchone()
    return int(added[0]) if added else 0
