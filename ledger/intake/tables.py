"""Small CSV files: their columns, read whole, every fault at once."""

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from ledger.domain import parsing
from ledger.errors import Fault, Faults, Refused
from ledger.intake.preflight import TextFile

Parser = Callable[[str], Any]


@dataclass(frozen=True)
class Column:
    """One column of an input file."""

    name: str
    parse: Parser = str
    needed: bool = False
    stored_as: str = ""

    @property
    def target(self) -> str:
        return self.stored_as or self.name


def choice(*words: str) -> Parser:
    """Return a parser that takes one of the words."""

    def parse(text: str) -> str:
        if text not in words:
            raise ValueError(f'"{text}" is none of {", ".join(words)}')
        return text

    return parse


@dataclass(frozen=True)
class Line:
    """One row of a file: its line number and parsed values by stored name; blank is None."""

    number: int
    values: dict[str, Any]

    def __getitem__(self, name: str) -> Any:
        return self.values[name]


@dataclass
class ReadTable:
    """A file's rows, and the faults found so far."""

    file: TextFile
    lines: list[Line] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    unknown_columns: list[str] = field(default_factory=list)

    def fault(self, line: int, what: str) -> None:
        self.faults.append(Fault(self.file.name, line, what))

    def settle(self) -> None:
        """Raises: Faults when there is any."""
        if self.faults:
            raise Faults(sorted(self.faults, key=lambda fault: fault.line))


def read_table(file: TextFile, columns: Sequence[Column]) -> ReadTable:
    """Return a file's rows parsed.

    Raises: Refused when the head does not fit. Faults of rows are kept in the table: call `settle`.
    """
    reader = csv.reader(io.StringIO(file.text), strict=True)
    table = ReadTable(file)
    head: list[str] = []
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if not head:
                head = _head(table, cells, columns)
            else:
                _read_row(table, columns, head, (reader.line_num, cells))
    except csv.Error as error:
        raise Refused(f"{file.name}:{reader.line_num}: {error}; mend the quotes") from None
    if not table.lines and not table.faults:
        raise Refused(f"{file.name}: has a head but no rows; nothing to load")
    return table


def _head(table: ReadTable, cells: Sequence[str], columns: Sequence[Column]) -> list[str]:
    head = [cell.strip().lower() for cell in cells]
    name = table.file.name
    twice = sorted({cell for cell in head if cell and head.count(cell) > 1})
    if twice:
        raise Refused(f"{name}:1: the column {twice[0]} is there twice; rename one")
    missing = [column.name for column in columns if column.needed and column.name not in head]
    if missing:
        raise Refused(
            f"{name}:1: the column {', '.join(missing)} is missing; "
            f"the head is {', '.join(filter(None, head))}"
        )
    known = {column.name for column in columns}
    table.unknown_columns = [cell for cell in head if cell and cell not in known]
    return head


def _read_row(
    table: ReadTable, columns: Sequence[Column], head: list[str], row: tuple[int, list[str]]
) -> None:
    number, cells = row
    if len(cells) != len(head):
        table.fault(number, f"has {len(cells)} cells, the head {len(head)}; mend the row")
        return
    texts = {name: cell.strip() for name, cell in zip(head, cells, strict=True)}
    values: dict[str, Any] = {}
    for column in columns:
        text = texts.get(column.name, "")
        values[column.target] = None
        if not text:
            if column.needed:
                table.fault(number, f"{column.name} is blank; fill it in")
            continue
        try:
            values[column.target] = column.parse(text)
        except ValueError as error:
            table.fault(number, f"{column.name} {error}")
    table.lines.append(Line(number, values))


def not_below_zero(parse: Parser) -> Parser:
    """Return a parser that refuses negative amounts."""

    def checked(text: str) -> Any:
        value = parse(text)
        if value < 0:
            raise ValueError(f'"{text}" is below zero')
        return value

    return checked


code = parsing.parse_code
