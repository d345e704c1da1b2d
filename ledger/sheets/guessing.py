"""A layout proposed for a file: what its first rows say, and what they leave open."""

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from ledger.domain.parsing import each_line
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.sheets.reading import SheetFile, read_texts
from ledger.sheets.sheet_tables import beside, sheet_tables
from ledger.sheets.staging import PreviewLine, preview, scratch_book, understand
from ledger.tables.guess_words import TOTALS, days_of_words, fields_of, is_name
from ledger.tables.heads import TITLE_ROWS, head_of, shown_tabs
from ledger.tables.layouts import Layout, parse_layout
from ledger.tables.preflight import BOM, UTF_16, TextFile, read_bytes, read_text
from ledger.tables.workbooks import is_workbook

SAMPLE_ROWS = 400
PREVIEW_LINES = 10
WORKER = ("worker_id", "worker_name")
_DATE = re.compile(r"(?:[A-Za-z]+[.,]* +)?([0-9]{1,4})([./-])([0-9]{1,2})\2([0-9]{1,4})")
_NAMED_DATE = re.compile(r"[0-9]{1,2}[ ./-][A-Za-z]{3,}[ ./-][0-9]{2,4}")
_POINT = re.compile(r"[0-9]{1,3}\.[0-9]{1,5}")
_COMMA = re.compile(r"[0-9]{1,3},[0-9]{1,5}")
_MINUTES_AFTER_POINT = re.compile(r"[0-9]{1,2}[.,][0-5][05]")


class Unsure(Outcome):
    """What a proposed layout leaves open: its kind, and the texts of the file that say so."""

    def __init__(self, kind: str, /, **fields: str | Sequence[str]) -> None:
        self.kind = kind
        self.fields: Mapping[str, str | Sequence[str]] = fields


@dataclass
class Guess:
    """A proposed layout as TOML keys and sections, with what is not sure."""

    keys: dict[str, object] = field(default_factory=dict)
    sections: dict[str, dict[str, object]] = field(default_factory=dict)
    unsure: list[Unsure] = field(default_factory=list)
    refused: Refused | None = None
    tab_name: str = ""

    @property
    def toml(self) -> str:
        lines = [f"{key} = {_toml(value)}" for key, value in self.keys.items()]
        for name, content in self.sections.items():
            if content:
                lines += ["", f"[{name}]"]
                lines += [f"{_key(key)} = {_toml(value)}" for key, value in content.items()]
        return "\n".join(lines) + "\n"


@dataclass(frozen=True)
class Proposal:
    """What `guess layout` shows: the layout, the first lines as they would be read, the doubts.

    `refused` says why the file is refused as it stands, where it is.
    """

    toml: str
    lines: list[PreviewLine]
    unsure: list[Unsure]
    refused: Refused | None


def guess_layout(path: Path) -> Proposal:
    """Return a layout for a file with its first ten lines read by it.

    Raises: Refused when the file cannot be read at all, or has no row that could be a head.
    """
    guess = Guess()
    tables = _tables(path, guess)
    name, rows = _likeliest(path.name, tables)
    at = _head_at(rows)
    head, below = head_of(rows[at]), [row for row in rows[at + 1 :] if any(map(str.strip, row))]
    _columns(guess, head, rows[at])
    _block(guess, rows[:at])
    _worker(guess, head, below)
    _tab(guess, name, tables)
    _totals(guess, head, below)
    _dates(guess, head, below, rows[:at])
    _hours(guess, head, below)
    _what_is_missing(guess, head)
    layout = parse_layout(path.stem, guess.toml.encode())
    lines = _preview(path, layout, guess)
    return Proposal(guess.toml, lines, guess.unsure, guess.refused)


def _tables(path: Path, guess: Guess) -> list[tuple[str, list[list[str]]]]:
    """Return the first rows of each tab, or of the text, by name."""
    data = read_bytes(path)
    if is_workbook(data):
        return [(tab.name, tab.rows[:SAMPLE_ROWS]) for tab in shown_tabs(read_text(path))]
    encoding = _encoding(data)
    if encoding:
        guess.keys["encoding"] = encoding
    if encoding == "windows-1252":
        guess.unsure.append(Unsure("encoding"))
    text = read_text(path, encoding).text
    delimiter = _delimiter(text, guess)
    if delimiter != ",":
        guess.keys["delimiter"] = "tab" if delimiter == "\t" else delimiter
    return [(path.stem, _rows(text, delimiter))]


def _encoding(data: bytes) -> str | None:
    """Return the encoding to be named: none for UTF-8 and for UTF-16 that says so itself."""
    if data.startswith((BOM, *UTF_16)):
        return None
    start = data[:4000]
    if start[1::2].count(0) > len(start) // 4:
        return "utf-16-le"
    if start[0::2].count(0) > len(start) // 4:
        return "utf-16-be"
    try:
        data.decode()
    except UnicodeDecodeError:
        return "windows-1252"
    return None


def _rows(text: str, delimiter: str) -> list[list[str]]:
    rows = []
    try:
        for cells in csv.reader(io.StringIO(text), delimiter=delimiter):
            rows.append(cells)
            if len(rows) >= SAMPLE_ROWS:
                break
    except csv.Error as error:
        raise Refused("sample_quotes_astray", said=str(error)) from None
    return rows


def _delimiter(text: str, guess: Guess) -> str:
    """Return the delimiter by which most rows have the same number of cells, above one."""
    scores = {}
    for delimiter in (",", ";", "\t", "|"):
        widths = Counter(len(row) for row in _rows(text, delimiter) if len(row) > 1)
        width, count = widths.most_common(1)[0] if widths else (0, 0)
        scores[delimiter] = (count * min(width, 4), width)
    best = max(scores, key=lambda each: scores[each])
    close = [each for each in scores if each != best and scores[each] == scores[best]]
    if close and scores[best][0]:
        guess.unsure.append(Unsure("delimiter", likeliest=best, other=close[0]))
    return best


def _likeliest(
    file: str, tables: Sequence[tuple[str, list[list[str]]]]
) -> tuple[str, list[list[str]]]:
    scored = [(max(map(_score, rows[:TITLE_ROWS]), default=0), name, rows) for name, rows in tables]
    best = max(scored, key=lambda each: each[0])
    if best[0] < 2:
        raise Refused("head_not_guessed", file=file)
    return best[1], best[2]


def _score(row: Sequence[str]) -> int:
    """Return how many cells of a row are words of a head: fields, weekdays or dates."""
    head = head_of(row)
    dates = len(_dated(head))
    return len(fields_of(head)) + len(days_of_words(head)) + (dates if dates > 1 else 0)


def _dated(head: Sequence[str]) -> list[str]:
    return [cell for cell in head if _DATE.fullmatch(cell) or _NAMED_DATE.fullmatch(cell)]


def _head_at(rows: Sequence[Sequence[str]]) -> int:
    scores = [_score(row) for row in rows[:TITLE_ROWS]]
    return scores.index(max(scores))


def _columns(guess: Guess, head: list[str], written: Sequence[str]) -> None:
    """Name the shape, the columns and the days."""
    days = days_of_words(head)
    dates = _dated(head)
    fields = fields_of([cell for cell in head if cell not in days.values()])
    names = dict(zip(head, (" ".join(cell.split()) for cell in written), strict=True))
    guess.keys["shape"] = "grid" if days or len(dates) > 1 else "long"
    if guess.keys["shape"] == "grid":
        for name in ("date", "hours", "start", "finish", "break_minutes", "weekday"):
            fields.pop(name, None)
    if len(dates) > 1 and not days:
        guess.keys["date_heads"] = True
    guess.sections["columns"] = {name: names[cell] for name, cell in fields.items()}
    if days and not set(days) >= set(days.values()):
        guess.sections["days"] = {day: names[cell] for day, cell in days.items()}
    known = {*fields.values(), *days.values(), *dates}
    rest = [names[cell] for cell in head if cell and cell not in known]
    if rest:
        guess.keys["evidence"] = rest
        guess.unsure.append(Unsure("columns_unknown", columns=rest))


def _block(guess: Guess, above: Sequence[Sequence[str]]) -> None:
    """Find fields that stand above the head, right of their label."""
    columns = guess.sections["columns"]
    labels = [
        " ".join(cell.split()).partition(":")[0] for row in above for cell in row if cell.strip()
    ]
    found = {
        name: next(each for each in labels if each.strip().lower() == label)
        for name, label in fields_of([each.strip().lower() for each in labels]).items()
        if name not in columns and not (name in WORKER and {*WORKER} & {*columns})
    }
    guess.sections["block"] = {
        name: label
        for name, label in found.items()
        if name in (*WORKER, "week_starting", "week_ending", "job", "sheet", "date", "trade")
    }


def _worker(guess: Guess, head: list[str], below: Sequence[Sequence[str]]) -> None:
    """Take a column of the workers' numbers for one of names where most of it reads so."""
    texts = set(_texts_of(guess, head, below, "worker_id"))
    if texts and 2 * sum(map(is_name, texts)) > len(texts):
        columns = guess.sections["columns"]
        guess.sections["columns"] = {
            "worker_name" if name == "worker_id" else name: cell for name, cell in columns.items()
        }


def _tab(guess: Guess, name: str, tables: Sequence[tuple[str, list[list[str]]]]) -> None:
    """Take worker or week from the names of tabs when nothing else says them."""
    guess.tab_name = name.strip()
    sources = {**guess.sections["columns"], **guess.sections["block"]}
    dated = re.fullmatch(r"[0-9]{4}-?[Ww][0-9]{1,2}", name.strip()) or _DATE.fullmatch(name.strip())
    if (
        guess.keys["shape"] == "grid"
        and dated
        and not {"week_starting", "week_ending"} & {*sources}
    ):
        guess.keys["tab"] = "week_starting"
    elif not {*WORKER} & {*sources}:
        guess.keys["tab"] = WORKER[is_name(name)]
        field = str(guess.keys["tab"])
        alone = Unsure("worker_of_tab", tab=name, field=field)
        many = Unsure("worker_of_tabs", tab=name, field=field)
        guess.unsure.append(many if len(tables) > 1 else alone)


def _totals(guess: Guess, head: list[str], below: Sequence[Sequence[str]]) -> None:
    for place, cell in enumerate(head):
        texts = {row[place].strip().lower() for row in below if place < len(row)}
        marks = sorted(texts & set(TOTALS))
        if cell and marks:
            guess.sections["total"] = {"column": cell, "text": marks[0]}
            guess.unsure.append(Unsure("total", text=marks[0], column=cell))
            return


def _texts_of(
    guess: Guess, head: list[str], below: Sequence[Sequence[str]], name: str
) -> list[str]:
    cell = str(guess.sections["columns"].get(name, "")).lower()
    if cell not in head:
        return []
    place = head.index(cell)
    return [row[place].strip() for row in below if place < len(row) and row[place].strip()]


def _dates(
    guess: Guess,
    head: list[str],
    below: Sequence[Sequence[str]],
    above: Sequence[Sequence[str]],
) -> None:
    """Find the order of day and month; where no date tells it, leave it out and say so."""
    texts = [cell for cell in head if _DATE.fullmatch(cell)]
    for name in ("date", "week_starting", "week_ending"):
        texts += _texts_of(guess, head, below, name)
        if label := guess.sections["block"].get(name):
            texts.append(beside(str(label).lower(), above) or "")
    texts += [str(guess.tab_name)] if guess.keys.get("tab") == "week_starting" else []
    matches = [match for text in texts if (match := _DATE.fullmatch(text))]
    parts = [(int(match[1]), int(match[3])) for match in matches if len(match[1]) < 4]
    if len(parts) < len(matches) and not parts:
        return
    first, second = (max((part[at] for part in parts), default=0) for at in (0, 1))
    if first > 12 >= second:
        guess.keys["date_order"] = "dmy"
    elif second > 12 >= first:
        guess.keys["date_order"] = "mdy"
    elif parts:
        day = next(text for text in texts if _DATE.fullmatch(text))
        guess.unsure.append(Unsure("date_order", day=day))


def _hours(guess: Guess, head: list[str], below: Sequence[Sequence[str]]) -> None:
    """Find the decimal mark, and whether 7.30 may be hours and minutes."""
    texts = _texts_of(guess, head, below, "hours")
    if guess.keys["shape"] == "grid":
        skipped = {str(each).lower() for each in guess.sections["columns"].values()}
        places = [place for place, cell in enumerate(head) if cell and cell not in skipped]
        texts = [row[at].strip() for row in below for at in places if at < len(row)]
    commas = [text for text in texts if _COMMA.fullmatch(text)]
    points = [text for text in texts if _POINT.fullmatch(text)]
    if commas:
        guess.keys["decimal_mark"] = ","
    if commas and points:
        guess.unsure.append(Unsure("decimal_mark", comma=commas[0], point=points[0]))
    marked = commas or points
    as_minutes = all(_MINUTES_AFTER_POINT.fullmatch(text) for text in marked)
    if as_minutes and any(text[-2:] in {"15", "30", "45"} for text in marked):
        guess.unsure.append(Unsure("duration", text=marked[0]))
    dashes = sorted({text for text in texts if text in {"-", "--", "–", "x", "/"}})
    if dashes:
        guess.keys["blanks"] = dashes
        guess.unsure.append(Unsure("blanks", marks=dashes))


def _what_is_missing(guess: Guess, head: Sequence[str]) -> None:
    sources = {
        **guess.sections["columns"],
        **guess.sections["block"],
        str(guess.keys.get("tab")): 1,
    }
    needed = ["booking_code"]
    if guess.keys["shape"] == "long":
        needed += ["date"] + ([] if {"start", "finish"} <= {*sources} else ["hours"])
    elif not guess.keys.get("date_heads") and "week_ending" not in sources:
        needed.append("week_starting")
    for name in needed:
        if name not in sources:
            heads = [cell for cell in head if cell]
            guess.unsure.append(Unsure("column_missing", field=name, heads=heads))


def _preview(path: Path, layout: Layout, guess: Guess) -> list[PreviewLine]:
    """Return the first lines as the layout would read them."""
    with scratch_book() as book:
        file = _beginning(read_text(path, layout.encoding), layout)
        try:
            read = read_texts(book, SheetFile(file, sheet_tables(book, file, layout), layout.job))
            understand(book, read.lines)
        except Refused as error:
            guess.refused = error
            return []
        return preview(book, PREVIEW_LINES)


def _beginning(file: TextFile, layout: Layout) -> TextFile:
    """Return a file with the first of its rows alone."""
    if file.is_workbook:
        tabs = tuple(replace(tab, rows=tab.rows[:SAMPLE_ROWS]) for tab in file.tabs)
        return replace(file, tabs=tabs)
    reader = csv.reader(each_line(file.text), delimiter=layout.delimiter)
    for _ in zip(range(SAMPLE_ROWS), reader, strict=False):
        pass
    lines = file.text.split("\n", reader.line_num)[: reader.line_num]
    return replace(file, text="\n".join(lines) + "\n", plain=False)


def _key(text: str) -> str:
    return text if re.fullmatch(r"[A-Za-z0-9_-]+", text) else json.dumps(text, ensure_ascii=False)


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    return json.dumps(str(value), ensure_ascii=False)
