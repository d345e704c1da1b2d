"""The keys of a layout: which there are, what each takes, and for which tables."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ledger.domain.calendar import WEEKDAYS
from ledger.domain.codes import code_of
from ledger.tables.layouts import SHEETS
from ledger.tables.toml_keys import TomlFile

SHAPES = ("long", "grid")
ENCODINGS = ("utf-8", "utf-16", "utf-16-le", "utf-16-be", "windows-1252")
DELIMITERS = {",": ",", ";": ";", "|": "|", "\t": "\t", "tab": "\t", "comma": ",", "semicolon": ";"}
DURATIONS = ("any", "decimal", "h:mm", "h.mm", "minutes")
ORDERS = ("ymd", "dmy", "mdy")
THOUSANDS = (".", ",", " ", "'")
FROM_TAB = ("worker_id", "worker_name", "week_starting", "week_ending", "sheet", "job", "date")
Names = Sequence[str]


def _text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f"{value!r} is not text; write it in quotes")
    return value.strip()


def _head(value: object) -> str:
    return " ".join(_text(value).split()).lower()


def _choice(*words: str) -> Callable[[object], str]:
    def chosen(value: object) -> str:
        if value not in words:
            raise ValueError(f"{value!r} is unknown; use one of {', '.join(words)}")
        return str(value)

    return chosen


def _table(value: object, each: Callable[[object], Any]) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise ValueError("is not a table; write it under [section]")
    return {name: each(text) for name, text in value.items()}


def _texts(value: object) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        raise ValueError('is not a list of texts; write ["Total"]')
    return tuple(each.strip() for each in value)


def _constant(value: object) -> str:
    return str(value) if isinstance(value, int) else _text(value)


def _delimiter(value: object) -> str:
    if not isinstance(value, str) or value not in DELIMITERS:
        raise ValueError(f"{value!r} is unknown; use one of , ; | tab")
    return DELIMITERS[value]


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"{value!r} is not true or false; write one, without quotes")
    return value


def _weekdays(value: object) -> dict[str, int]:
    names = _table(value, _head)
    return {text: WEEKDAYS.index(day) for day, text in names.items()}


def _left_out(value: object) -> dict[str, tuple[str, ...]]:
    return {_head(head): texts for head, texts in _table(value, _texts).items()}


def _total(value: object) -> tuple[str, tuple[str, ...]]:
    table = _table(value, lambda each: each)
    if set(table) != {"column", "text"}:
        raise ValueError("needs column and text: the row of totals has this text under this head")
    texts = table["text"] if isinstance(table["text"], list) else [table["text"]]
    return _head(table["column"]), tuple(map(_head, texts))


def _across(value: object) -> tuple[str, str]:
    table = _table(value, _text)
    if set(table) != {"field", "cells"}:
        raise ValueError("needs field and cells: what the heads say, and what stands under them")
    return table["field"], table["cells"]


def _head_rows(value: object) -> int:
    if value not in (1, 2) or isinstance(value, bool):
        raise ValueError(f"{value!r} is not 1 or 2")
    return 1 if value == 1 else 2


def _year(value: object) -> int:
    if not isinstance(value, int) or not 1990 <= value <= 2199:
        raise ValueError(f"{value!r} is not a year; write 2026, without quotes")
    return value


def _heads(value: object) -> dict[str, str]:
    return {_head(head): text for head, text in _table(value, _text).items()}


def _from_tab(value: object) -> tuple[str, ...]:
    listed = value if isinstance(value, list) else [value]
    return tuple(_text(each) for each in listed)


OF_ALL: dict[str, Callable[[object], Any]] = {
    "title": _text,
    "table": _text,
    "encoding": _choice(*ENCODINGS),
    "delimiter": _delimiter,
    "decimal_mark": _choice(".", ","),
    "date_order": _choice(*ORDERS),
    "duration": _choice(*DURATIONS),
    "head_rows": _head_rows,
    "date_heads": _flag,
    "evidence": lambda value: tuple(_head(text) for text in _texts(value)),
    "blanks": _texts,
    "columns": lambda value: _table(value, _head),
    "constants": lambda value: _table(value, _constant),
    "block": lambda value: _table(value, lambda text: _head(text).rstrip(":")),
    "left_out": _left_out,
    "total": _total,
}
OF_SHEETS: Mapping[str, Callable[[object], Any]] = {
    **OF_ALL,
    "shape": _choice(*SHAPES),
    "tab": lambda value: (_choice(*FROM_TAB)(value),),
    "job": lambda value: code_of(_text(value)),
    "days": _weekdays,
}
OF_OTHERS: Mapping[str, Callable[[object], Any]] = {
    **OF_ALL,
    "tab": _from_tab,
    "thousands": _choice(*THOUSANDS),
    "year": _year,
    "notes": _flag,
    "fill_down": lambda value: tuple(_head(text) for text in _texts(value)),
    "titles": lambda value: _table(value, _head),
    "across": _across,
    "heads": _heads,
    "add_up": _flag,
}
# The tables whose rows of one key may be added up: those that have nothing but amounts beside it.
ADDED_UP = ("payroll",)
_STORED = {"days": "weekdays"}


def checked_keys(file: TomlFile, fields: Mapping[str, Names]) -> dict[str, Any]:
    """Return the keys of a layout as they are kept; `fields` has the columns of each table.

    Raises: Faults, naming every key that is unknown or does not fit.
    """
    table = file.tables.get("table", SHEETS)
    if table not in fields:
        file.fault(("table",), f"table: {table!r} is unknown; use one of {', '.join(fields)}")
        file.settle()
    keys = OF_SHEETS if table == SHEETS else OF_OTHERS
    known = file.refuse_unknown((), file.tables, tuple(keys))
    sections = _sections(fields[table])
    for section in sections.keys() & set(known):
        if isinstance(content := file.tables[section], dict):
            names = file.refuse_unknown((section,), content, sections[section])
            file.tables[section] = {name: content[name] for name in names}
    read: dict[str, Any] = {}
    for key in known:
        try:
            read[_STORED.get(key, key)] = keys[key](file.tables[key])
        except ValueError as error:
            file.fault((key,), f"{key}: {error}")
    if read.get("add_up") and table not in ADDED_UP:
        file.fault(("add_up",), f"add_up: is for {', '.join(ADDED_UP)} alone; take it out")
    if table != SHEETS:
        _check_named(file, read, fields[table])
    file.settle()
    return read


def _sections(fields: Names) -> dict[str, Names]:
    """Return the names that each table of a layout takes; the others have the file's own heads."""
    named = dict.fromkeys(("columns", "constants", "block", "titles"), fields)
    return {**named, "days": WEEKDAYS, "total": ("column", "text"), "across": ("field", "cells")}


def _check_named(file: TomlFile, read: Mapping[str, Any], fields: Names) -> None:
    """Note a fault for each column that a key names as a value and the table has not."""
    for key in ("tab", "across"):
        for name in read.get(key, ()):
            if name not in fields:
                file.fault((key,), f"{key}: {name!r} is unknown; use one of {', '.join(fields)}")
