"""The parts of the pages that are made from the code.

Run as a program, this file puts them into the pages:  python -m tests.manual._generated
"""

import ast
import re
import textwrap
from collections.abc import Callable, Iterable, Mapping
from datetime import date

import polars as pl

from ledger.domain.attention import MEANINGS
from ledger.domain.change_life import (
    EVENTS,
    INSTRUCTION_MOVES,
    PRICE_EVENTS,
    PRICE_MOVES,
    TIME_MOVES,
    WORK_MOVES,
    ChangeState,
    Event,
)
from ledger.frames.columns import FRAMES
from tests.house.test_imports import ROOMS, all_imports
from tests.manual._pages import ROOT

DAY = date(2026, 3, 2)
TYPES = {"String": "text", "Date": "date", "Int64": "whole number", "Decimal": ""}
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
    return _table("state of the price", PRICE_MOVES)


def instruction_moves() -> str:
    """Return the table of the events that may follow each state of an instruction."""
    return _table("instruction", INSTRUCTION_MOVES)


def work_moves() -> str:
    """Return the table of the events that may follow each state of the work."""
    return _table("work", WORK_MOVES)


def time_moves() -> str:
    """Return the table of the events that may follow while days are open, and when decided."""
    return _table("days", TIME_MOVES)


def _table(head: str, moves: Mapping[str, Iterable[str]]) -> str:
    rows = [f"| {head} | events that may follow |", "| --- | --- |"]
    rows += [f"| {_state(state)} | {_listed(events)} |" for state, events in moves.items()]
    return "\n".join([*rows, ""])


def _state(state: str) -> str:
    return state if " " in state else f"`{state}`"


def moves_together() -> str:
    """Return the table of the events besides the price's that may follow as a change stands."""
    besides = [name for name in EVENTS if name not in PRICE_EVENTS | {"withdrawn"}]
    rows = ["| the change is | events that may follow |", "| --- | --- |"]
    for standing, events in STANDINGS.items():
        state = ChangeState()
        for name in events:
            state.apply(Event(name, DAY, 1))
        legal = state.legal(Event("complete", DAY, 1))
        rows.append(f"| {standing} | {_listed(name for name in besides if name in legal)} |")
    return "\n".join([*rows, ""])


def _listed(events: Iterable[str]) -> str:
    return ", ".join(f"`{name}`" for name in events) or "none"


def attention() -> str:
    """Return the table of what of a change needs attention, worst first."""
    rows = ["| word | meaning |", "| --- | --- |"]
    rows += [f"| `{word}` | {meaning} |" for word, meaning in MEANINGS.items()]
    return "\n".join([*rows, ""])


def rooms() -> str:
    """Return the rooms of the house as a picture: each with what it is, above those it needs."""
    needs: dict[str, set[str]] = {}
    for found in all_imports():
        if found.layer and found.target and found.layer != found.target:
            needs.setdefault(found.layer, set()).add(found.target)
    built = [room for room in ROOMS if (ROOT / "ledger" / room).is_dir()]
    lines = [f'    {room}["<b>{room}</b><br>{_what(room)}"]' for room in built]
    for room in built:
        below = needs.get(room, set())
        further = set().union(*(_all_below(each, needs) for each in below))
        lines += [f"    {room} --> {each}" for each in built if each in below - further]
    return "\n".join(["```mermaid", "flowchart TD", *lines, "```", ""])


def _what(room: str) -> str:
    """Return what a room is, from the first line of its package, in lines of a few words."""
    tree = ast.parse((ROOT / "ledger" / room / "__init__.py").read_text(encoding="utf-8"))
    return "<br>".join(textwrap.wrap((ast.get_docstring(tree) or "").rstrip("."), 32))


def _all_below(room: str, needs: dict[str, set[str]]) -> set[str]:
    below = needs.get(room, set())
    return below.union(*(_all_below(each, needs) for each in below))


def frames() -> str:
    """Return the columns of every frame: each with its type, its unit and what it is."""
    lines: list[str] = []
    for name, columns in FRAMES.items():
        lines += [
            f"## {name}",
            "",
            "| column | type | unit | meaning |",
            "| --- | --- | --- | --- |",
        ]
        for each in columns:
            asked = " (only if cost is asked for)" if each.of_cost else ""
            kind = TYPES[type(each.type).__name__]
            if isinstance(each.type, pl.Decimal):
                kind = f"decimal, {each.type.scale} places"
            lines.append(f"| `{each.name}` | {kind} | {each.unit} | {each.meaning}{asked} |")
        lines.append("")
    return "\n".join(lines)


PARTS: dict[tuple[str, str], Callable[[], str]] = {
    ("ledger/manual/changes.md", "price moves"): price_moves,
    ("ledger/manual/changes.md", "instruction moves"): instruction_moves,
    ("ledger/manual/changes.md", "work moves"): work_moves,
    ("ledger/manual/changes.md", "time moves"): time_moves,
    ("ledger/manual/changes.md", "moves together"): moves_together,
    ("ledger/manual/changes.md", "attention"): attention,
    ("ledger/manual/python.md", "frames"): frames,
    ("DEVELOPERS.md", "rooms"): rooms,
}


def pattern(mark: str) -> re.Pattern[str]:
    return re.compile(rf"(?<=<!-- {mark} -->\n).*?(?=<!-- end of {mark} -->)", re.DOTALL)


if __name__ == "__main__":
    for (name, mark), part in PARTS.items():
        text = (ROOT / name).read_text(encoding="utf-8")
        (ROOT / name).write_text(pattern(mark).sub(part(), text), encoding="utf-8")
