"""Withdrawing a fact that was typed or loaded, with the right one in its place or without."""

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.baseline.replaying import (
    WITHOUT_EFFECT,
    Recording,
    Replay,
    RightFact,
    load_in_place,
    post_differences,
)
from ledger.errors import Refused
from ledger.inputs.files import record_file
from ledger.inputs.toml_files import write_calendar
from ledger.inputs.withdrawal_bars import bars_after, bars_before, refuse_approved_lines
from ledger.inputs.withdrawal_files import RightFile, load_right
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.rerun import Placed, fact, standing
from ledger.store.schema import TABLES, WITHDRAWABLE
from ledger.store.showing import NICKNAMES

ID = re.compile(r"([a-z_]+):(\d{1,12})\.(\d{1,12})")
# What is put right in another way, and how.
ELSEWHERE = {
    "entry": "correct it (`fairhours correct entry {0}`) or reverse it (`reverse entry {0}`)",
    "posting": "reverse its entry (`fairhours reverse entry`), or change the rule",
    "sheet_line": "correct or reverse its entry (`fairhours correct entry`, `reverse entry`)",
    "line_outcome": "end the held line (`fairhours reject line`, `fairhours correct line`)",
    "closing": "reopen the period (`fairhours reopen period`)",
    "doubt_settled": "reopen the doubt (`fairhours reopen doubt`)",
    "reversal": "undo it (`fairhours undo reversal {0}`)",
    "withdrawal": "enter the fact again",
    "erasure": "what it erased is gone; enter the text again",
    "budget_posting": "it follows from facts; withdraw the fact it came of",
    "plan_posting": "it follows from facts; withdraw the fact it came of",
}


@dataclass(frozen=True)
class Asked:
    """What is to be withdrawn, why, and the file with the right fact if there is one."""

    facts: list[Placed]
    reason: str
    right: RightFile | None


def withdraw_facts(
    book: Book, batch: Batch, ids: Sequence[str], reason: str, right: RightFile | None = None
) -> list[str]:
    """Withdraw facts by their ids and post what follows; return lines to print.

    Raises: Refused, naming the facts that stand in the way.
    """
    asked = _asked(book, ids, reason, right)
    before = {each.table: standing_ids(book, each.table) for each in asked.facts}
    batch.append("withdrawal", _rows(asked))
    refuse_approved_lines(book, asked.facts)
    remarks = _follow(book, batch, asked)
    bars_after(book, asked.facts)
    return [*_said(book, asked, before), *_told_moves(book, batch, remarks)]


def _follow(book: Book, batch: Batch, asked: Asked) -> list[tuple[str, str, str]]:
    """Post what follows, and add the right fact; return what was said of what could not follow."""
    right = _right_fact(asked)
    if not {each.table for each in asked.facts} <= WITHOUT_EFFECT:
        replay = post_differences(book, batch, write_calendar, right)
    elif right:
        replay = load_in_place(book, write_calendar, right)
    else:
        return []
    _append_right(batch, asked, replay)
    return replay.remarks


def _asked(book: Book, ids: Sequence[str], reason: str, right: RightFile | None) -> Asked:
    if not reason.strip():
        raise Refused("--reason: say why, in words")
    facts = sorted((_fact(book, each) for each in dict.fromkeys(ids)), key=_place)
    if right and len({(each.table, each.place_batch) for each in facts}) > 1:
        raise Refused(
            "--with: gives the place of facts of one table and one batch; withdraw the others apart"
        )
    for each in facts:
        bars_before(book, each)
    return Asked(facts, reason.strip(), right)


def _place(each: Placed) -> tuple[str, int, int, int, int]:
    return each.table, each.place_batch, each.place_row, each.batch, each.row


def _fact(book: Book, given: str) -> Placed:
    """Return the fact of an id. Raises: Refused when it is none that can be withdrawn."""
    match = ID.fullmatch(given.strip().lower())
    if not match:
        raise Refused(f'"{given}": not a valid id; write table:batch.row, as `fairhours show` does')
    table = NICKNAMES.get(match[1], match[1])
    if table not in WITHDRAWABLE:
        raise Refused(_not_withdrawable(given, table, f"{match[2]}.{match[3]}"))
    found, withdrawn_in = fact(book, table, int(match[2]), int(match[3]))
    if found is None:
        raise Refused(f"{given}: there is no such fact; `fairhours show {table}` lists the ids")
    if withdrawn_in:
        raise Refused(f"{given}: was withdrawn already, in batch {withdrawn_in}")
    return found


def _not_withdrawable(given: str, table: str, number: str) -> str:
    if table in ELSEWHERE:
        return f"{given}: cannot be withdrawn; {ELSEWHERE[table].format(number)}"
    known = ", ".join(sorted(WITHDRAWABLE))
    what = f"a {table}" if table in TABLES else f'"{table}"'
    return f"{given}: {what} cannot be withdrawn; these can: {known}"


def _rows(asked: Asked) -> dict[str, list[Any]]:
    facts = asked.facts
    first = facts[0] if asked.right else None
    return {
        "table_name": [each.table for each in facts],
        "fact_batch": [each.batch for each in facts],
        "fact_row": [each.row for each in facts],
        "place_batch": [first.place_batch if first else None for _ in facts],
        "place_row": [first.place_row if first else None for _ in facts],
        "reason": [asked.reason for _ in facts],
    }


def _right_fact(asked: Asked) -> RightFact | None:
    if asked.right is None:
        return None
    first, file = asked.facts[0], asked.right

    def load(book: Book, batch: Recording) -> None:
        load_right(book, batch, file, asked.facts)

    return RightFact(first.table, (first.place_batch, first.place_row), load)


def _append_right(batch: Batch, asked: Asked, replay: Replay) -> None:
    if asked.right is None:
        return
    table = asked.facts[0].table
    for name in (table, "worker_name", "content"):
        for columns in replay.aside.get(name, []):
            batch.append(name, columns)
    record_file(batch, asked.right.path, table.replace("_", "-"))


def standing_ids(book: Book, table: str) -> set[str]:
    """Return the ids of the facts of a table that count."""
    from ledger.store.showing import rows_of

    return {str(row["id"]) for row in rows_of(book, table)[1]}


def _said(book: Book, asked: Asked, before: dict[str, set[str]]) -> list[str]:
    said = []
    for each in asked.facts:
        known = "" if each.named in before[each.table] else "; it did not count any more"
        said.append(f"{each.named} withdrawn ({described(each)}){known}")
    for table, ids in before.items():
        facts = {each.named: each for each in standing(book, table)}
        for named in sorted(standing_ids(book, table) - ids, key=lambda name: _place(facts[name])):
            if facts[named].batch == book.upto:
                said.append(f"{named} takes its place ({described(facts[named])})")
            else:
                said.append(f"{named} counts again ({described(facts[named])})")
    if asked.right and not any("takes its place" in line for line in said):
        said.append(f"{asked.right.path.name}: adds nothing that counts now")
    return said


def described(each: Placed) -> str:
    """Return a fact in words: its columns that are filled."""
    shown = (f"{name} {value}" for name, value in each.values.items() if value is not None)
    return ", ".join(shown)


def _told_moves(book: Book, batch: Batch, remarks: list[tuple[str, str, str]]) -> list[str]:
    """Return a line for each job whose baseline moved, and what could not be taken out whole."""
    moved: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for job, source, reference in book.rows("inputs/budgets_moved", batch=batch.sequence):
        moved[job].append((source, reference))
    said = []
    for job, sources in moved.items():
        named = [source if source == "freeze" else f"{source} {name}" for source, name in sources]
        said.append(f"job {job}: baseline worked out again: {', '.join(named).replace('_', ' ')}")
    codes = {(job, name) for job, sources in moved.items() for _, name in sources}
    return said + [line for job, code, line in remarks if (job, code) in codes]
