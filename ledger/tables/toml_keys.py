"""A TOML file's tables, the line of each key, and all its faults at once."""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from ledger.errors import Fault, Faults
from ledger.tables.near_miss import near_miss

# The names from the outermost table to a key; of a list of tables the place in it, from 0.
KeyPath = tuple[str | int, ...]

_NAME = r"""(?:[\w-]+|"[^"]*"|'[^']*')"""
_NAMES = rf"({_NAME}(?:\s*\.\s*{_NAME})*)"
_TABLE = re.compile(rf"\s*\[\s*{_NAMES}\s*\]")
_ONE_OF_TABLES = re.compile(rf"\s*\[\[\s*{_NAMES}\s*\]\]")
_KEY = re.compile(rf"\s*{_NAMES}\s*=")
_LONG_TEXT = re.compile(r'"""|\'\'\'')


@dataclass
class TomlFile:
    """A TOML file that was read, and the faults found so far."""

    name: str
    tables: dict[str, Any]
    text: str = ""
    faults: list[Fault] = field(default_factory=list)

    @cached_property
    def lines(self) -> Mapping[KeyPath, int]:
        """The line on which each table and key first stands."""
        return lines_of_keys(self.text)

    def fault(self, path: KeyPath, what: str) -> None:
        """Note a fault at the line of a key, or of the nearest table round it."""
        lines = self.lines
        paths = (path[:end] for end in range(len(path), 0, -1))
        line = next((lines[each] for each in paths if each in lines), 1)
        self.faults.append(Fault(self.name, line, what))

    def settle(self) -> None:
        """Raises: Faults when there is any."""
        if self.faults:
            raise Faults(sorted(self.faults, key=lambda fault: fault.line))

    def refuse_unknown(
        self,
        path: KeyPath,
        table: Mapping[str, Any],
        known: Collection[str],
        coming: Collection[str] = (),
    ) -> list[str]:
        """Note a fault for each name of a table that is not used; return those that are."""
        for name, value in table.items():
            if name in known:
                continue
            kind = "table" if not path and isinstance(value, dict | list) else "key"
            where = ".".join(str(part) for part in (*path, name) if isinstance(part, str))
            if name in coming:
                what = f"{where} is not used by this version yet; leave it out"
            elif near := near_miss(name, known):
                what = f"unknown {kind} {where}; did you mean {near}?"
            else:
                what = f"unknown {kind} {where}; use one of {', '.join(known)}"
            self.fault((*path, name), what)
        return [name for name in table if name in known]


def lines_of_keys(text: str) -> Mapping[KeyPath, int]:
    """Return the line on which each table and key of a TOML text first stands."""
    first_lines: dict[KeyPath, int] = {}
    counts: dict[KeyPath, int] = {}
    table: KeyPath = ()
    in_long_text = False
    for number, line in enumerate(text.split("\n"), start=1):
        opens = len(_LONG_TEXT.findall(line)) % 2 == 1
        if not in_long_text:
            if header := _ONE_OF_TABLES.match(line):
                names = _names(header[1])
                counts[names] = counts.get(names, -1) + 1
                table = (*names, counts[names])
            elif header := _TABLE.match(line):
                table = _names(header[1])
            key = None if header else _KEY.match(line)
            path = (*table, *_names(key[1])) if key else table if header else ()
            for end in range(1, len(path) + 1):
                first_lines.setdefault(path[:end], number)
        in_long_text ^= opens
    return first_lines


def _names(dotted: str) -> tuple[str, ...]:
    return tuple(name.strip("\"'") for name in re.findall(_NAME, dotted))
