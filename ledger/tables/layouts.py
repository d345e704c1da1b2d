"""Layouts: a TOML file that says how the yard's own timesheets are to be read."""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from ledger.domain.calendar import WEEKDAYS
from ledger.domain.codes import code_of
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.resources import root
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.contents import Content, keep_content
from ledger.tables.preflight import read_bytes
from ledger.tables.raw_files import LARGEST_TOML
from ledger.tables.toml_keys import TomlFile
from ledger.tables.toml_text import tables_of

SHAPES = ("long", "grid")
ENCODINGS = ("utf-8", "utf-16", "utf-16-le", "utf-16-be", "windows-1252")
DELIMITERS = {",": ",", ";": ";", "|": "|", "\t": "\t", "tab": "\t", "comma": ",", "semicolon": ";"}
DURATIONS = ("any", "decimal", "h:mm", "h.mm", "minutes")
ORDERS = ("ymd", "dmy", "mdy")
FIELDS = (
    "sheet",
    "worker_id",
    "worker_name",
    "date",
    "hours",
    "start",
    "finish",
    "break_minutes",
    "booking_code",
    "job",
    "note",
    "pay_class",
    "trade",
    "rework",
    "approved_by",
)
# Fields that a correction can change: a worker is corrected by the worker_id, which counts.
CORRECTED = tuple(name for name in FIELDS if name != "worker_name")
# Fields that only tell the date.
OF_THE_WEEK = ("week_starting", "week_ending", "weekday")
MAPPED = (*FIELDS, *OF_THE_WEEK)
FROM_TAB = ("worker_id", "worker_name", "week_starting", "week_ending", "sheet", "job", "date")
ENDING = ".toml"


@dataclass(frozen=True)
class LayoutKept(Outcome):
    """A layout in the book: new, changed, or as_before."""

    file: str
    standing: str


@dataclass(frozen=True)
class Layout:
    """How the sheets of one kind are read; heads and labels in small letters."""

    name: str
    data: bytes = b""
    shape: str = "long"
    encoding: str | None = None
    delimiter: str = ","
    decimal_mark: str = "."
    date_order: str = "ymd"
    duration: str = "any"
    job: str | None = None
    tab: str | None = None
    date_heads: bool = False
    columns: Mapping[str, str] = field(default_factory=dict)
    constants: Mapping[str, str] = field(default_factory=dict)
    block: Mapping[str, str] = field(default_factory=dict)
    weekdays: Mapping[str, int] = field(default_factory=dict)
    evidence: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    left_out: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    total: tuple[str, str] | None = None

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.data).hexdigest()

    @property
    def recorded(self) -> str:
        """What a file that was read with it says of it: its name and the digest of its content."""
        return f"{self.name} {self.sha256}" if self.data else self.name


# Sheets under our own names: a long list, a grid of weekdays, a grid of dates.
PLAIN = Layout("long")
OWN_NAMES = (
    PLAIN,
    Layout("grid", shape="grid"),
    Layout("grid", shape="grid", date_heads=True),
)


def parse_layout(name: str, data: bytes) -> Layout:
    """Return the layout of a TOML file's bytes.

    Raises: Refused, naming every key that does not fit and what it takes.
    """
    where = f"{name}{ENDING}"
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refused("not_utf_8", file=where) from None
    read = _checked(TomlFile(where, tables_of(where, text), text))
    read.pop("title", None)
    layout = Layout(name, data, **read)
    _check_whole(where, layout)
    return layout


def _checked(file: TomlFile) -> dict[str, Any]:
    """Return the keys of a layout as they are kept.

    Raises: Faults, naming every key that is unknown or does not fit.
    """
    read: dict[str, Any] = {}
    known = file.refuse_unknown((), file.tables, tuple(_KEYS))
    for section in SECTIONS.keys() & set(known):
        if isinstance(content := file.tables[section], dict):
            names = file.refuse_unknown((section,), content, SECTIONS[section])
            file.tables[section] = {name: content[name] for name in names}
    for key in known:
        try:
            read[_STORED.get(key, key)] = _KEYS[key](file.tables[key])
        except ValueError as error:
            file.fault((key,), f"{key}: {error}")
    file.settle()
    return read


def _check_whole(where: str, layout: Layout) -> None:
    """Raises: Refused when keys that are right by themselves do not fit together."""
    sources: list[str] = [*layout.columns, *layout.constants, *layout.block]
    sources += [layout.tab] if layout.tab else []
    twice = sorted({name for name in sources if sources.count(name) > 1} - set(layout.columns))
    if twice:
        raise Refused("layout_field_twice", file=where, field=twice[0])
    heads = list(layout.columns.values())
    shared = sorted({head for head in heads if heads.count(head) > 1})
    if shared:
        raise Refused("layout_head_twice", file=where, head=shared[0])
    if layout.shape == "grid" and {"date", "hours", "start", "finish"} & set(layout.columns):
        raise Refused("layout_grid_with_hours", file=where)
    if layout.duration != "any" and layout.decimal_mark == "," and layout.duration == "h:mm":
        raise Refused("layout_mark_unused", file=where)


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


def _total(value: object) -> tuple[str, str]:
    found = _table(value, _head)
    if set(found) != {"column", "text"}:
        raise ValueError("needs column and text: the row of totals has this text under this head")
    return found["column"], found["text"]


_KEYS: dict[str, Callable[[object], Any]] = {
    "title": _text,
    "shape": _choice(*SHAPES),
    "encoding": _choice(*ENCODINGS),
    "delimiter": _delimiter,
    "decimal_mark": _choice(".", ","),
    "date_order": _choice(*ORDERS),
    "duration": _choice(*DURATIONS),
    "job": lambda value: code_of(_text(value)),
    "tab": _choice(*FROM_TAB),
    "date_heads": _flag,
    "evidence": lambda value: tuple(_head(text) for text in _texts(value)),
    "blanks": _texts,
    "columns": lambda value: _table(value, _head),
    "constants": lambda value: _table(value, _constant),
    "block": lambda value: _table(value, lambda text: _head(text).rstrip(":")),
    "days": _weekdays,
    "left_out": _left_out,
    "total": _total,
}
_STORED = {"days": "weekdays"}
# The names that each table of a layout takes; those of left_out are the file's own heads.
SECTIONS = {
    "columns": MAPPED,
    "constants": MAPPED,
    "block": MAPPED,
    "days": WEEKDAYS,
    "total": ("column", "text"),
}


def find_layout(book: Book, wanted: str) -> Layout:
    """Return a layout by its file, or by the name under which it is kept or shipped.

    Raises: Refused when there is none, naming those there are.
    """
    path = Path(wanted)
    if path.suffix == ENDING and path.is_file():
        return parse_layout(path.stem, read_bytes(path, LARGEST_TOML))
    name = wanted.removesuffix(ENDING)
    kept = {row["name"]: bytes(row["data"]) for row in book.records("tables/layouts_known")}
    shipped = shipped_layouts()
    if name + ENDING in kept:
        return parse_layout(name, kept[name + ENDING])
    if name in shipped:
        return parse_layout(name, shipped[name])
    names = sorted({each.removesuffix(ENDING) for each in kept} | set(shipped))
    raise Refused("layout_unknown", layout=wanted, layouts=tuple(names))


def layout_recorded(book: Book, recorded: str) -> Layout:
    """Return the layout that a file of sheets says it was read by.

    Raises: Refused when its content was erased.
    """
    name, _, digest = recorded.rpartition(" ")
    if not name:
        return PLAIN
    found = book.rows("tables/layout_of_digest", sha256=digest)
    if not found:
        raise Refused("layout_erased", layout=name)
    return parse_layout(name, bytes(found[0][0]))


def shipped_layouts() -> dict[str, bytes]:
    """Return the layouts that come with the program, by name."""
    folder = root("sample_data") / "layouts"
    files = sorted(folder.iterdir(), key=lambda each: each.name)
    return {
        each.name.removesuffix(ENDING): each.read_bytes()
        for each in files
        if each.name.endswith(ENDING)
    }


def keep_layout(book: Book, batch: Batch, layout: Layout) -> LayoutKept:
    """Keep a layout in the book, content by digest, unless it is."""
    kept = {row["name"]: row["sha256"] for row in book.records("tables/layouts_known")}
    file = f"{layout.name}{ENDING}"
    if kept.get(file) == layout.sha256:
        return LayoutKept(file, "as_before")
    keep_content(batch, Content(layout.data, "application/toml"))
    row = {"name": file, "sha256": layout.sha256, "kind": "layout", "encoding": "utf-8"}
    batch.append_row("file", row)
    return LayoutKept(file, "changed" if file in kept else "new")


def load_layout(book: Book, batch: Batch, path: Path) -> LayoutKept:
    """Keep a layout under its file's name."""
    return keep_layout(book, batch, parse_layout(path.stem, read_bytes(path, LARGEST_TOML)))
