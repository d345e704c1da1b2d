"""The parts of the manual that are made from the code.

Run as a program, this file puts them into the pages:  python -m tests.manual._generated
"""

import re
from collections.abc import Callable, Iterable
from datetime import date

from ledger.domain.change_life import PRICE_MOVES, ChangeState, Event
from tests.manual._pages import MANUAL

DAY = date(2026, 3, 2)
WORK = ("instructed", "stopped", "complete", "value_agreed")
# How a change stands, and the events that bring it there.
STANDINGS: dict[str, tuple[str, ...]] = {
    "not instructed, not approved": (),
    "instructed, not approved": ("instructed",),
    "stopped, not approved": ("instructed", "stopped"),
    "instructed, then withdrawn": ("instructed", "withdrawn"),
    "withdrawn": ("withdrawn",),
    "approved": ("approved",),
    "approved and instructed": ("approved", "instructed"),
    "approved, then stopped": ("approved", "stopped"),
}


def price_moves() -> str:
    """Return the table of the events that may follow each state of a price."""
    rows = ["| state of the price | events that may follow |", "| --- | --- |"]
    rows += [f"| `{state}` | {_listed(events)} |" for state, events in PRICE_MOVES.items()]
    return "\n".join([*rows, ""])


def work_moves() -> str:
    """Return the table of the events of instruction and work that may follow as a change stands."""
    rows = ["| the change is | events that may follow |", "| --- | --- |"]
    for standing, events in STANDINGS.items():
        state = ChangeState()
        for name in events:
            state.apply(Event(name, DAY, 1))
        legal = state.legal(Event("complete", DAY, 1))
        rows.append(f"| {standing} | {_listed(name for name in WORK if name in legal)} |")
    return "\n".join([*rows, ""])


def _listed(events: Iterable[str]) -> str:
    return ", ".join(f"`{name}`" for name in events) or "none"


PARTS: dict[tuple[str, str], Callable[[], str]] = {
    ("changes.md", "price moves"): price_moves,
    ("changes.md", "work moves"): work_moves,
}


def pattern(mark: str) -> re.Pattern[str]:
    return re.compile(rf"(?<=<!-- {mark} -->\n).*?(?=<!-- end of {mark} -->)", re.DOTALL)


if __name__ == "__main__":
    for (name, mark), part in PARTS.items():
        text = (MANUAL / name).read_text(encoding="utf-8")
        (MANUAL / name).write_text(pattern(mark).sub(part(), text), encoding="utf-8")
