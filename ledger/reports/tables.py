"""Tables and pages ready to be shown: the same for paper, for the browser and for a workbook."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

from ledger.reports.commands_named import NONE

Cell = str | int | Decimal | date | None

NUMBERS = ("hours", "money", "days", "quantity", "rate")


@dataclass(frozen=True)
class Column:
    """A column: its head, its unit, and what its cells are.

    `kind` is code, text, trades, standing, basis, note, unit, date, due (a day in words), hours,
    money, days, quantity or rate, and of a sheet to be filled in job, day, off (a day without
    work), remark or sum; `missing` is shown for a cell without value.
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

    `kind` is plain, step (signed, plus too), group, subtotal, total, aside (shown, not added), over
    (more than planned), closed (takes nothing more), blank (to be filled in), decision (to be
    decided and signed) or rough (to be decided once its price is firm).
    `remark` is said under the row; `link` is the anchor of the sheet that tells more.
    """

    cells: tuple[Cell, ...]
    kind: str = "plain"
    span: int = 1
    remark: str = ""
    link: str = ""


@dataclass(frozen=True)
class Table:
    """A table with its caption; `empty` is said instead when it has no rows."""

    name: str
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    empty: str = ""


@dataclass(frozen=True)
class Chart:
    """A drawing as SVG, and what it shows in words for those who do not see it.

    `has_values` says that the drawing tells its own values, one by one.
    """

    svg: str
    alternative: str
    caption: str
    has_values: bool = False


@dataclass(frozen=True)
class Section:
    """A heading with its table, perhaps a chart of the same figures, and a sentence above both.

    `level` is that of the heading, `anchor` is linked to, and a sortable table has a row a thing.
    """

    title: str
    table: Table
    chart: Chart | None = None
    lead: str = ""
    level: int = 2
    anchor: str = ""
    is_sortable: bool = False


@dataclass(frozen=True)
class Fact:
    """A label, its value, and perhaps a remark on it."""

    label: str
    value: str
    remark: str = ""


@dataclass(frozen=True)
class Sheet:
    """One thing on a page of its own: what it is, its facts, its text and its tables.

    `code` names it in lists; all sheets of a page have the same tables.
    """

    anchor: str
    code: str
    kind: str
    title: str
    facts: tuple[Fact, ...]
    texts: tuple[str, ...]
    tables: tuple[Table, ...]


@dataclass(frozen=True)
class Print:
    """How a page is put out: on "A4" or "Letter", and dated by the instant of the record.

    `options` are what the command that makes it again needs besides; `own_templates` is the digest
    of a yard's own templates, "" when none is used; `pdf_variant` is the standard a PDF keeps to.
    `logo` is a data: address, or empty; `medium` is screen or paper. `load` has the words of the
    command that loads, by a layout, what was filled in.
    """

    paper: str
    recorded_at: datetime
    options: tuple[str, ...] = ()
    own_templates: str = ""
    pdf_variant: str = "pdf/ua-1"
    logo: str = ""
    medium: str = "screen"
    load: Callable[[str], str] = NONE.load

    @property
    def instant(self) -> datetime:
        """The instant in UTC, in whole seconds."""
        assert self.recorded_at.tzinfo is not None, "recorded_at is an instant, with its zone"
        return self.recorded_at.astimezone(UTC).replace(microsecond=0)


@dataclass(frozen=True)
class Listing:
    """Very many lines under a title: blocks of text, their columns apart by stops as in `heads`."""

    title: str
    heads: str
    blocks: tuple[str, ...]


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
    sheets_title: str = ""
    sheets: tuple[Sheet, ...] = ()
    cover: str = "Statement"  # What a workbook calls the sheet that says what it is.
    listings: tuple[Listing, ...] = ()
