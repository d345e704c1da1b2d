"""The tabs of a workbook, as whoever reads tables has them; how they are read is `workbooks.py`."""

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, field

# A row and a column, from 0.
Place = tuple[int, int]


@dataclass(frozen=True)
class Tab:
    """One tab: its rows of text from row 1 and column A on, and the cells that cannot be used.

    `typed` has the cells that hold a text like 1.234, which is no number of the workbook.
    """

    name: str
    rows: list[list[str]]
    hidden: bool = False
    unusable: Mapping[Place, str] = field(default_factory=dict)
    typed: Set[Place] = frozenset()

    @property
    def is_blank(self) -> bool:
        return not any(cell.strip() for row in self.rows for cell in row)


def is_workbook(data: bytes) -> bool:
    """Return whether the bytes begin as a ZIP archive does, which every workbook here is."""
    return data.startswith(b"PK\x03\x04")


def names_of(tabs: Iterable[Tab]) -> tuple[str, ...]:
    """Return the names of tabs."""
    return tuple(tab.name for tab in tabs)
