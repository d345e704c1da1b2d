"""Daywork of the demo yard: what was used on it, and the sheets its owners signed.

Days are the yard's weeks and weekdays, as in `_changes`.
"""

from dataclasses import dataclass

from tests.demo._changes import CHAIR, HARBOUR, SURVEYOR, Day


@dataclass(frozen=True)
class Item:
    """A material, plant or subcontract used on a change."""

    change: str
    day: Day
    kind: str
    description: str
    quantity: str
    unit: str
    unit_cost: str
    reference: str


@dataclass(frozen=True)
class Sheet:
    """A daywork sheet of whole weeks: marked by whom and when; `part` is an item agreed in part."""

    job: str
    change: str
    code: str
    weeks: tuple[int, int]
    marked: Day
    person: str
    mark: str = "agreed"
    part: tuple[str, str, str] | None = None


ITEMS = (
    Item("CR05", (18, 1), "plant", "Work raft with compressor", "2", "day", "310.00", "hire 118"),
    Item("CR05", (22, 0), "plant", "Work raft with compressor", "3", "day", "310.00", "hire 131"),
    Item("CR05", (22, 3), "material", "Anchor bolts and grout", "1", "lot", "486.50", "note 5512"),
)
SHEETS = (
    Sheet("FERRY", "CR05", "CA1", (17, 20), (21, 2), CHAIR),
    Sheet(
        "FERRY",
        "CR05",
        "CA2",
        (21, 23),
        (24, 3),
        CHAIR,
        part=("hire 131", "2.5", "half a day lay idle for wind"),
    ),
    Sheet("FERRY", "CR05", "CA3", (24, 26), (27, 2), SURVEYOR, "for_record_only"),
    Sheet("SEDGE", "SR1", "SB1", (8, 11), (12, 2), HARBOUR),
    Sheet("SEDGE", "SR1", "SB2", (12, 14), (15, 2), HARBOUR),
)
