"""The SELECT that makes sheet lines of a table: a line a row, or a line a filled day's cell."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.domain.calendar import WEEKDAYS
from ledger.domain.codes import word_of
from ledger.domain.spreadsheets import column_letters
from ledger.store.queries import quoted
from ledger.tables import readings
from ledger.tables.layouts import FIELDS, OF_THE_WEEK
from ledger.tables.readings import Reading, is_one_of, trimmed

# No table has so many columns: places of lines are counted by row and column.
COLUMNS_AT_MOST = 20_000


@dataclass(frozen=True)
class StagedSource:
    """A table in `staged_csv`: the heads of its columns, its row's number as SQL, and its tab."""

    head: Sequence[str]
    line: str
    tab: str | None = None

    @property
    def inputs(self) -> dict[str, object]:
        return {} if self.tab is None else {"tab": self.tab}

    def column(self, head: str) -> str:
        """Return the column of `staged_csv` under a head."""
        return f"c{list(self.head).index(head) + 1}"

    @property
    def columns(self) -> list[tuple[str, str]]:
        """Each column of `staged_csv` with its name: its head, or its number without one."""
        return [
            (f"c{place}", name or f"column_{place}")
            for place, name in enumerate(self.head, start=1)
        ]


def lines_of(source: StagedSource, reading: Reading) -> str:
    """Return the SELECT of the lines of `staged_csv`, with the columns of `staged_raw`."""
    if reading.as_written:
        return _as_written(source)
    return (
        f"WITH filled AS ({_filled(source, reading)}), cells AS ({_cells(source, reading)}),"
        f" field_texts AS ({_field_texts(source, reading)}), read AS ({_read(reading)})"
        f" SELECT place, line, is_total, sum_key, {_raw(source, reading)} AS raw,"
        f" $default_job::VARCHAR AS default_job, date_wrong, hours_wrong, {', '.join(FIELDS)}"
        " FROM read"
    )


def _place(source: StagedSource) -> str:
    """Return the columns that number a row: its place in the file and its line."""
    base = f"((SELECT coalesce(max(place), 0) // {COLUMNS_AT_MOST} + 1 FROM staged_text)"
    offset = "c.rowid - (SELECT min(rowid) FROM staged_csv)"
    return f"{base} + {offset}) * {COLUMNS_AT_MOST} AS place, {source.line} AS line"


def is_blank(source: StagedSource) -> str:
    """Return whether a row has nothing in any column.

    The first is seen by itself, as few rows are blank in it; the others are blank if they are
    together, which is planned sooner than each.
    """
    first, *others = [column for column, _ in source.columns]
    together = [first, f"concat({', '.join(others)})"] if others else [first]
    return " AND ".join(f"{trimmed(each)} IS NULL" for each in together)


def packed(source: StagedSource) -> str:
    """Return the cells of a row by their heads, as JSON."""
    return f"to_json({{{', '.join(f'{quoted(name)}: {col}' for col, name in source.columns)}}})"


def fields_of(source: StagedSource) -> list[str]:
    """Return the columns of the fields of a table whose heads are their names."""
    return [
        f"{source.column(name)} AS {name}" if name in source.head else f"NULL::VARCHAR AS {name}"
        for name in FIELDS
    ]


def _as_written(source: StagedSource) -> str:
    raw = packed(source)
    if source.tab is not None:
        raw = f"to_json({{'tab': $tab, 'row': {source.line}, 'cells': {raw}}})"
    return (
        f"SELECT {_place(source)}, false AS is_total, {raw}::VARCHAR AS raw,"
        f" $default_job::VARCHAR AS default_job, {', '.join(fields_of(source))}"
        f" FROM staged_csv AS c WHERE NOT ({is_blank(source)})"
    )


def _filled(source: StagedSource, reading: Reading) -> str:
    """Return the rows that are neither blank nor left out; those of totals are marked."""
    total = "false"
    if reading.total:
        head, texts = reading.total
        total = is_one_of(trimmed(source.column(head)), texts)
    filled = {head: f"coalesce({trimmed(source.column(head))}, '')" for head in reading.left_out}
    kept = "".join(
        f" AND NOT {is_one_of(filled[head], texts)}" for head, texts in reading.left_out.items()
    )
    return (
        f"SELECT {_place(source)}, {total} AS is_total, {packed(source)} AS packed, c.*"
        f" FROM staged_csv AS c WHERE NOT ({is_blank(source)}){kept}"
    )


def _cells(source: StagedSource, reading: Reading) -> str:
    """Return a row for each cell of hours: the filled ones of a grid, the one of a long row."""
    heads = list(source.head)
    if not reading.days:
        hours = reading.columns.get("hours")
        cell = _not_blank(trimmed(source.column(hours)), reading) if hours else "NULL::VARCHAR"
        at = heads.index(hours) if hours else 0
        return (
            f"SELECT *, {at} AS at_column, NULL::BIGINT AS weekday_at, NULL::VARCHAR AS day_at,"
            f" {cell} AS cell FROM filled"
        )
    listed = ", ".join(
        f"{{'at_column': {heads.index(day.head)},"
        f" 'weekday': {'NULL' if day.weekday is None else day.weekday}::BIGINT,"
        f" 'day': nullif({quoted(day.date)}, ''), 'cell': {source.column(day.head)}}}"
        for day in reading.days
    )
    cell = _not_blank(trimmed("one.cell"), reading)
    return (
        "SELECT * EXCLUDE (one), one.at_column AS at_column, one.weekday AS weekday_at,"
        f" one.day AS day_at, {cell} AS cell FROM (SELECT *, unnest([{listed}]) AS one FROM filled)"
        f" WHERE {cell} IS NOT NULL"
    )


def _not_blank(text: str, reading: Reading) -> str:
    blanks = ", ".join(quoted(word_of(each)) for each in reading.blanks)
    return f"CASE WHEN word_of({text}) NOT IN ({blanks}) THEN {text} END" if blanks else text


def _field_texts(source: StagedSource, reading: Reading) -> str:
    """Return the texts of every field of a line: its column's, else what is given for all rows."""
    listed = []
    for name in (*FIELDS, *OF_THE_WEEK):
        texts = []
        if name in reading.columns:
            texts.append(trimmed(source.column(reading.columns[name])))
        if name in reading.constants:
            texts.append(quoted(reading.constants[name]))
        text = "cell" if name == "hours" else f"coalesce({', '.join([*texts, 'NULL::VARCHAR'])})"
        listed.append(f"{text} AS {name}")
    key = f"concat_ws(':', {'$tab::VARCHAR' if source.tab is not None else 'NULL'}, at_column)"
    return (
        f"SELECT place + at_column AS place, line, is_total, {key} AS sum_key, packed, at_column,"
        f" weekday_at, day_at, {', '.join(listed)} FROM cells"
    )


def _read(reading: Reading) -> str:
    """Return the fields in the form that is parsed, and what cannot be understood."""
    iso, written = _date(reading)
    hours = readings.hours("hours", reading)
    read = {
        "date": f"coalesce({iso}, {written})",
        "hours": f"coalesce({hours}, hours)",
        "start": readings.clock("start", reading),
        "finish": readings.clock("finish", reading),
        "break_minutes": readings.break_minutes("break_minutes"),
    }
    replaced = ", ".join(f"{text} AS {name}" for name, text in read.items())
    order = f"is not a valid date in the order {reading.date_order}"
    fit = f"do not fit the layout: {reading.duration_rule}"
    return (
        f"SELECT * REPLACE ({replaced}),"
        f" CASE WHEN {iso} IS NULL THEN 'date \"' || {written} || {quoted(chr(34) + ' ' + order)}"
        " END AS date_wrong,"
        f" CASE WHEN {readings.half_days_differ('start', 'finish', reading)}"
        " THEN 'times \"' || start || '\" and \"' || finish"
        " || '\": only one has am or pm; write both alike'"
        f" WHEN {hours} IS NULL THEN 'hours \"' || hours || {quoted(chr(34) + ' ' + fit)}"
        " END AS hours_wrong FROM field_texts"
    )


def _date(reading: Reading) -> tuple[str, str]:
    """Return the day of a line as ISO, null when it is not established, and the text it is of."""
    start, finish = (
        readings.iso_date(name, reading.date_order) for name in ("week_starting", "week_ending")
    )
    week = "coalesce(week_starting, week_ending)"
    if reading.days:
        in_week = readings.day_in_week(start, finish, "weekday_at")
        names = list(WEEKDAYS)
        written = f"coalesce(day_at, {names!r}[weekday_at + 1] || ' of ' || {week})"
        return f"coalesce(day_at, {in_week})", written
    iso, written = readings.iso_date("date", reading.date_order), "date"
    if "weekday" in reading.columns:
        weekday = readings.weekday_of("weekday", reading.weekdays)
        iso = f"coalesce({iso}, {readings.day_in_week(start, finish, weekday)})"
        written = f"coalesce(date, weekday || ' of ' || {week})"
    return iso, written


def _raw(source: StagedSource, reading: Reading) -> str:
    """Return what is kept of a line: its place, the cells as written, and as they were read."""
    place = ["'tab': $tab", "'row': line"] if source.tab is not None else []
    if reading.days:
        letters = [column_letters(place) for place in range(len(source.head))]
        place = [*place[:1], f"'cell': {letters!r}[at_column + 1] || line"]
    read = ", ".join(f"'{name}': {name}" for name in ("date_wrong", "hours_wrong", *FIELDS))
    kept = ", ".join([*place, "'cells': packed", f"'read': {{{read}}}"])
    return f"to_json({{{kept}}})::VARCHAR"
