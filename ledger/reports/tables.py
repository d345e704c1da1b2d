"""Tables and pages ready to be shown: the same for paper, for the browser and for a workbook."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

Cell = str | int | Decimal | date | None

NUMBERS = ("hours", "money", "days")


@dataclass(frozen=True)
class Column:
    """A column: its head, its unit, and what its cells are.

    `kind` is code, text, standing, basis, note, date, hours, money or days; `missing` is shown
    for a cell without value.
    """

    head: str
    kind: str
    unit: str = ""
    missing: str = "–"

    @property
    def is_number(self) -> bool:
        return self.kind in NUMBERS


@dataclass(frozen=True)
class Row:
    """A row: its first cell is the row's head and spans `span` columns.

    `kind` is plain, step (signed, plus too), group, subtotal, total or aside (shown, not added).
    """

    cells: tuple[Cell, ...]
    kind: str = "plain"
    span: int = 1


@dataclass(frozen=True)
class Table:
    """A table with its caption; `empty` is said instead when it has no rows."""

    name: str
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    empty: str = ""


@dataclass(frozen=True)
class Section:
    """A heading with its table."""

    title: str
    table: Table


@dataclass(frozen=True)
class Fact:
    """A label, its value, and perhaps a remark on it."""

    label: str
    value: str
    remark: str = ""


@dataclass(frozen=True)
class Print:
    """How a page is put out: on "A4" or "Letter", and dated by the instant of the record.

    `options` are what the command that makes it again needs besides; `own_templates` is the digest
    of a yard's own templates, "" when none is used; `pdf_variant` is the standard a PDF keeps to.
    """

    paper: str
    recorded_at: datetime
    options: tuple[str, ...] = ()
    own_templates: str = ""
    pdf_variant: str = "pdf/ua-1"

    @property
    def instant(self) -> datetime:
        """The instant in UTC, in whole seconds."""
        assert self.recorded_at.tzinfo is not None, "recorded_at is an instant, with its zone"
        return self.recorded_at.astimezone(UTC).replace(microsecond=0)


@dataclass(frozen=True)
class Page:
    """A whole report, ready to be shown."""

    title: str
    subject: str
    letterhead: tuple[str, ...]
    facts: tuple[Fact, ...]
    headline: str
    figures: tuple[Fact, ...]
    sections: tuple[Section, ...]
    how_to_read: tuple[str, ...]
    caution: str
    proof: tuple[Fact, ...]
    running: tuple[str, str]
    foot: str
    banner: str
