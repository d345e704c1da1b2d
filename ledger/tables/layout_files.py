"""The files of layouts: read, found by name in the book or the program, and kept in the book."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.resources import root
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.contents import Content, keep_content
from ledger.tables.layout_keys import Names, checked_keys
from ledger.tables.layouts import MAPPED, PLAIN, SHEETS, Layout
from ledger.tables.raw_files import LARGEST_TOML
from ledger.tables.toml_keys import TomlFile
from ledger.tables.toml_text import tables_of
from ledger.tables.whole_files import read_bytes

ONLY_SHEETS: Mapping[str, Names] = {SHEETS: MAPPED}
ENDING = ".toml"


@dataclass(frozen=True)
class LayoutKept(Outcome):
    """A layout in the book: new, changed, or as_before."""

    file: str
    standing: str


def parse_layout(name: str, data: bytes, fields: Mapping[str, Names] = ONLY_SHEETS) -> Layout:
    """Return the layout of a TOML file's bytes; `fields` has the columns of each table.

    Raises: Refused, naming every key that does not fit and what it takes.
    """
    where = f"{name}{ENDING}"
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refused("not_utf_8", file=where) from None
    read = checked_keys(TomlFile(where, tables_of(where, text), text), fields)
    read.pop("title", None)
    layout = Layout(name, data, **read)
    _check_whole(where, layout)
    return layout


def _check_whole(where: str, layout: Layout) -> None:
    """Raises: Refused when keys that are right by themselves do not fit together."""
    sources: list[str] = [*layout.columns, *layout.constants, *layout.block]
    sources += layout.tab
    twice = sorted({name for name in sources if sources.count(name) > 1} - set(layout.columns))
    if twice:
        raise Refused("layout_field_twice", file=where, field=twice[0])
    heads = list(layout.columns.values()) if layout.table == SHEETS else []
    shared = sorted({head for head in heads if heads.count(head) > 1})
    if shared:
        raise Refused("layout_head_twice", file=where, head=shared[0])
    if layout.across and not (layout.heads or layout.date_heads):
        raise Refused("layout_across_nothing", file=where)
    if layout.shape == "grid" and {"date", "hours", "start", "finish"} & set(layout.columns):
        raise Refused("layout_grid_with_hours", file=where)
    if layout.duration != "any" and layout.decimal_mark == "," and layout.duration == "h:mm":
        raise Refused("layout_mark_unused", file=where)


@dataclass(frozen=True)
class LayoutWanted:
    """A layout that is asked for by its file or name, for a table; `fields` as of a layout."""

    layout: str
    table: str = SHEETS
    fields: Mapping[str, Names] = field(default_factory=lambda: ONLY_SHEETS)


def find_layout(book: Book, wanted: LayoutWanted) -> Layout:
    """Return a layout by its file, or by the name under which it is kept or shipped.

    Raises: Refused when there is none, naming those there are, or it is of another table.
    """
    layout = _find(book, wanted)
    if layout.table != wanted.table:
        raise Refused(
            "layout_of_another", layout=layout.name, table=layout.table, wanted=wanted.table
        )
    return layout


def _find(book: Book, asked: LayoutWanted) -> Layout:
    wanted = asked.layout
    path = Path(wanted)
    if path.suffix == ENDING and path.is_file():
        return parse_layout(path.stem, read_bytes(path, LARGEST_TOML), asked.fields)
    name = wanted.removesuffix(ENDING)
    kept = {row["name"]: bytes(row["data"]) for row in book.records("tables/layouts_known")}
    shipped = shipped_layouts()
    if name + ENDING in kept:
        return parse_layout(name, kept[name + ENDING], asked.fields)
    if name in shipped:
        return parse_layout(name, shipped[name], asked.fields)
    names = sorted({each.removesuffix(ENDING) for each in kept} | set(shipped))
    raise Refused("layout_unknown", layout=wanted, layouts=tuple(names))


def layout_recorded(book: Book, recorded: str) -> Layout:
    """Return the layout that a file of sheets says it was read by.

    Raises: Refused when its content was erased.
    """
    name, _, digest = recorded.rpartition(" ")
    if not name:
        return PLAIN
    rows = book.rows("tables/layout_of_digest", sha256=digest)
    if not rows:
        raise Refused("layout_erased", layout=name)
    return parse_layout(name, bytes(rows[0][0]))


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


def load_layout(
    book: Book, batch: Batch, path: Path, fields: Mapping[str, Names] = ONLY_SHEETS
) -> LayoutKept:
    """Keep a layout under its file's name; `fields` has the columns of each table."""
    layout = parse_layout(path.stem, read_bytes(path, LARGEST_TOML), fields)
    return keep_layout(book, batch, layout)
