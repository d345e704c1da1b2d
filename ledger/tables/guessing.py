"""A layout proposed for a file: what all kinds of tables have in common."""

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
from ledger.tables.heads import visible_tabs
from ledger.tables.tabs import is_workbook
from ledger.tables.whole_files import BOM, UTF_16, TextFile, read_bytes, read_text

SAMPLE_ROWS = 400
DATE = re.compile(r"(?:[A-Za-z]+[.,]* +)?([0-9]{1,4})([./-])([0-9]{1,2})\2([0-9]{1,4})")
NAMED_DATE = re.compile(r"[0-9]{1,2}[ ./-][A-Za-z]{3,}[ ./-][0-9]{2,4}")
Rows = list[list[str]]


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
    is_workbook: bool = False

    @property
    def toml(self) -> str:
        lines = [f"{key} = {_toml(value)}" for key, value in self.keys.items()]
        for name, content in self.sections.items():
            if content:
                lines += ["", f"[{name}]"]
                lines += [f"{_key(key)} = {_toml(value)}" for key, value in content.items()]
        return "\n".join(lines) + "\n"


def sample(path: Path, guess: Guess) -> list[tuple[str, Rows]]:
    """Return the first rows of each tab, or of the text, by name."""
    data = read_bytes(path)
    guess.is_workbook = is_workbook(data)
    if guess.is_workbook:
        return [(tab.name, tab.rows[:SAMPLE_ROWS]) for tab in visible_tabs(read_text(path))]
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


def _rows(text: str, delimiter: str) -> Rows:
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


def dated(head: Sequence[str]) -> list[str]:
    return [cell for cell in head if DATE.fullmatch(cell) or NAMED_DATE.fullmatch(cell)]


def date_order(guess: Guess, texts: Sequence[str]) -> None:
    """Find the order of day and month; where no date tells it, leave it out and say so."""
    matches = [match for text in texts if (match := DATE.fullmatch(text))]
    numbers = [(int(match[1]), int(match[3])) for match in matches if len(match[1]) < 4]
    if len(numbers) < len(matches) and not numbers:
        return
    first, second = (max((part[at] for part in numbers), default=0) for at in (0, 1))
    if first > 12 >= second:
        guess.keys["date_order"] = "dmy"
    elif second > 12 >= first:
        guess.keys["date_order"] = "mdy"
    elif numbers:
        day = next(match[0] for match in matches if len(match[1]) < 4)
        guess.unsure.append(Unsure("date_order", day=day))


def beginning(file: TextFile, delimiter: str) -> TextFile:
    """Return a file with the first of its rows alone."""
    if file.is_workbook:
        tabs = tuple(replace(tab, rows=tab.rows[:SAMPLE_ROWS]) for tab in file.tabs)
        return replace(file, tabs=tabs)
    reader = csv.reader(each_line(file.text), delimiter=delimiter)
    for _ in zip(range(SAMPLE_ROWS), reader, strict=False):
        pass
    lines = file.text.split("\n", reader.line_num)[: reader.line_num]
    return replace(file, text="\n".join(lines) + "\n", plain=False)


def _key(text: str) -> str:
    return text if re.fullmatch(r"[A-Za-z0-9_-]+", text) else json.dumps(text, ensure_ascii=False)


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int):
        return str(value)
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    return json.dumps(str(value), ensure_ascii=False)
