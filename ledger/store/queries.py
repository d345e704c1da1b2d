"""Queries by name: each is one file of queries/, its header says what it takes and gives."""

import re
from collections.abc import Mapping
from functools import cache
from importlib.resources.abc import Traversable
from typing import Any

from ledger.resources import root

_INPUT = re.compile(r"\$(\w+)")
_COLUMN = re.compile(r"(?:^|; )(\w+) ([A-Z][A-Z ]*(?:\(\d+, ?\d+\))?(?:\[\])?)(?=[,;]| |$)")


@cache
def text(name: str) -> str:
    """Return the text of the query `name`, for example "posting_differences".

    Raises: FileNotFoundError when there is none of that name.
    """
    place = _folder()
    for part in f"{name}.sql".split("/"):
        place = place / part
    return place.read_text(encoding="utf-8")


@cache
def _folder() -> Traversable:
    return root("queries")


@cache
def inputs(name: str) -> frozenset[str]:
    """Return the names of the values that a query takes."""
    return frozenset(_INPUT.findall(_header(name, "In")))


@cache
def columns(name: str) -> tuple[str, ...]:
    """Return the names of the columns that a query gives."""
    return tuple(column for column, _ in _COLUMN.findall(_header(name, "Out")))


@cache
def no_rows(name: str) -> str:
    """Return the columns that a query gives, each with its type, as those of a table to make."""
    return ", ".join(f"{column} {kind}" for column, kind in _COLUMN.findall(_header(name, "Out")))


def _header(name: str, part: str) -> str:
    """Return what the header says of a part; it goes on to the end of the comment's next part."""
    comment = re.match(r"(?:--.*\n)+", text(name))
    lines = comment[0].splitlines() if comment else []
    part_lines: list[str] = []
    of = ""
    for line in lines:
        if match := re.match(r"-- (In|Out):\s+", line):
            of, line = match[1], line[match.end() :]
        if of == part:
            part_lines.append(line.removeprefix("--").strip())
    return " ".join(part_lines)


def ordered(name: str) -> str:
    """Return the query as a bracketed table whose rows are numbered in its order."""
    return f"(\n{text(name)}\n)"


@cache
def without_order(name: str) -> str:
    """Return the query, without its closing ORDER BY, as a bracketed table to select from."""
    body, order, rest = text(name).rpartition("\nORDER BY ")
    return f"(\n{body if order and 'LIMIT' not in rest else text(name)}\n)"


def with_numbers(name: str, numbers: Mapping[str, Any]) -> str:
    """Return the query with whole numbers in the place of its inputs, as a view needs it."""
    return _INPUT.sub(lambda match: str(int(numbers[match[1]])), without_order(name))


def quoted(text: str) -> str:
    """Return a text as an SQL literal."""
    return "'" + text.replace("'", "''") + "'"
