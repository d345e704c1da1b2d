"""Layouts: a TOML file that says how the yard's own sheets and other tables are to be read."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field

# The table that a layout is of where it names no other.
SHEETS = "sheets"
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


@dataclass(frozen=True)
class Layout:
    """How the files of one kind are read; heads and labels in small letters.

    `table` says which table they hold. Only sheets have `shape`, `job` and `weekdays`; only other
    tables have what stands from `thousands` on.
    """

    name: str
    data: bytes = b""
    table: str = SHEETS
    shape: str = "long"
    encoding: str | None = None
    delimiter: str = ","
    decimal_mark: str = "."
    date_order: str = "ymd"
    duration: str = "any"
    job: str | None = None
    tab: tuple[str, ...] = ()
    head_rows: int = 1
    date_heads: bool = False
    columns: Mapping[str, str] = field(default_factory=dict)
    constants: Mapping[str, str] = field(default_factory=dict)
    block: Mapping[str, str] = field(default_factory=dict)
    weekdays: Mapping[str, int] = field(default_factory=dict)
    evidence: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    left_out: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    total: tuple[str, tuple[str, ...]] | None = None
    thousands: str = ""
    year: int | None = None
    notes: bool = False
    fill_down: tuple[str, ...] = ()
    titles: Mapping[str, str] = field(default_factory=dict)
    across: tuple[str, str] | None = None
    heads: Mapping[str, str] = field(default_factory=dict)
    add_up: bool = False

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
