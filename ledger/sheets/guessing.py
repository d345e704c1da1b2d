"""A layout proposed for a file: what its first rows say, and what they leave open."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import Refused
from ledger.sheets.reading import read_texts
from ledger.sheets.sheet_files import SheetFile
from ledger.sheets.sheet_tables import sheet_tables
from ledger.sheets.staging import PreviewLine, preview, scratch_book, understand
from ledger.tables.file_tables import beside
from ledger.tables.guess_words import TOTALS, days_of_words, fields_of, is_name
from ledger.tables.guessed_texts import looks_like, total_of, totals_of
from ledger.tables.guessing import DATE, Guess, Unsure, beginning, date_order, dated, sample
from ledger.tables.heads import TITLE_ROWS, head_of
from ledger.tables.layout_files import parse_layout
from ledger.tables.layouts import Layout
from ledger.tables.whole_files import read_text

PREVIEW_LINES = 10
WORKER = ("worker_id", "worker_name")
_KINDS = {
    "date": "date",
    "week_starting": "date",
    "week_ending": "date",
    "hours": "hours",
    "start": "clock",
    "finish": "clock",
}
_WEEK = re.compile(r"[0-9]{4}-?[Ww][0-9]{1,2}")
_POINT = re.compile(r"[0-9]{1,3}\.[0-9]{1,5}")
_COMMA = re.compile(r"[0-9]{1,3},[0-9]{1,5}")
_MINUTES_AFTER_POINT = re.compile(r"[0-9]{1,2}[.,][0-5][05]")


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
    tables = sample(path, guess)
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
    dates = len(dated(head))
    return len(fields_of(head)) + len(days_of_words(head)) + (dates if dates > 1 else 0)


def _head_at(rows: Sequence[Sequence[str]]) -> int:
    scores = [_score(row) for row in rows[:TITLE_ROWS]]
    return scores.index(max(scores))


def _columns(guess: Guess, head: list[str], written: Sequence[str]) -> None:
    """Name the shape, the columns and the days."""
    days = days_of_words(head)
    dates = dated(head)
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
    named = {
        name: next(each for each in labels if each.strip().lower() == label)
        for name, label in fields_of([each.strip().lower() for each in labels]).items()
        if name not in columns and not (name in WORKER and {*WORKER} & {*columns})
    }
    guess.sections["block"] = {
        name: label
        for name, label in named.items()
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
    of_week = _WEEK.fullmatch(guess.tab_name) or DATE.fullmatch(guess.tab_name)
    if (
        guess.keys["shape"] == "grid"
        and of_week
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
    """Propose all texts of totals of the first head that has any; a note may begin like one."""
    note = str(guess.sections["columns"].get("note", "")).lower()
    for place, cell in enumerate(head):
        texts = [text for row in below if place < len(row) and (text := row[place].strip())]
        totals = [each for each in texts if total_of(each)]
        if cell == note:
            totals = [each for each in totals if each.lower() in TOTALS]
        if cell and totals:
            known = list(dict.fromkeys(each.lower() for each in totals_of(totals, texts)))
            guess.sections["total"] = {
                "column": cell,
                "text": known if len(known) > 1 else known[0],
            }
            guess.unsure.append(Unsure("total", text=" and ".join(known), column=cell))
            return


def _texts_of(
    guess: Guess, head: list[str], below: Sequence[Sequence[str]], name: str
) -> list[str]:
    cell = str(guess.sections["columns"].get(name, "")).lower()
    if cell not in head:
        return []
    place = head.index(cell)
    return [row[place].strip() for row in below if place < len(row) and row[place].strip()]


def sheet_score(samples: Sequence[tuple[str, list[list[str]]]]) -> float:
    """Return how well a file looks like timesheets: heads that are known, less what is lacking."""
    return max(
        (
            _fit(rows, at, is_of_worker=len(samples) > 1 or is_name(name))
            for name, rows in samples
            for at in range(min(len(rows), TITLE_ROWS))
        ),
        default=0,
    )


def _fit(rows: list[list[str]], at: int, *, is_of_worker: bool) -> float:
    head = head_of(rows[at])
    days, dates = days_of_words(head), dated(head)
    # A column of workers may hold numbers or names.
    fields = {
        name: cell
        for name, cell in fields_of([each for each in head if each not in days.values()]).items()
        if name in WORKER
        or looks_like(name, _KINDS.get(name, "text"), _under(rows[at + 1 :], head.index(cell)))
    }
    above = fields_of([cell.strip().lower().partition(":")[0] for row in rows[:at] for cell in row])
    known = {*fields, *above}
    is_grid = bool(days) or len(dates) > 1
    lacking = 0 if is_grid or {"date", "week_starting", "week_ending"} & known else 3
    lacking += 0 if is_grid or "hours" in fields or {"start", "finish"} <= {*fields} else 3
    lacking += "booking_code" not in known
    lacking += not (is_of_worker or {*WORKER} & known)
    return len(fields) + (2 if is_grid else 0) - lacking if len(fields) + is_grid > 1 else 0


def _under(below: Sequence[Sequence[str]], place: int) -> list[str]:
    return [row[place].strip() for row in below if place < len(row)]


def _dates(
    guess: Guess,
    head: list[str],
    below: Sequence[Sequence[str]],
    above: Sequence[Sequence[str]],
) -> None:
    """Find the order of day and month; where no date tells it, leave it out and say so."""
    texts = [cell for cell in head if DATE.fullmatch(cell)]
    for name in ("date", "week_starting", "week_ending"):
        texts += _texts_of(guess, head, below, name)
        if label := guess.sections["block"].get(name):
            texts.append(beside(str(label).lower(), above) or "")
    texts += [str(guess.tab_name)] if guess.keys.get("tab") == "week_starting" else []
    date_order(guess, texts)


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
        file = beginning(read_text(path, layout.encoding), layout.delimiter)
        try:
            read = read_texts(book, SheetFile(file, sheet_tables(book, file, layout), layout.job))
            understand(book, read.lines)
        except Refused as error:
            guess.refused = error
            return []
        return preview(book, PREVIEW_LINES)
