"""Withdrawing a fact that was typed or loaded, with the right one in its place or without."""

import re
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.baseline.approval import OmissionShort
from ledger.baseline.replaying import (
    WITHOUT_EFFECT,
    Recording,
    Replay,
    RightFact,
    load_in_place,
    post_differences,
)
from ledger.errors import Refused, Remedy
from ledger.inputs.certified_bars import refuse_certified
from ledger.inputs.files import record_file
from ledger.inputs.toml_files import write_calendar
from ledger.inputs.withdrawal_bars import bars_after, bars_before, refuse_approved_lines
from ledger.inputs.withdrawal_files import RightFile, load_right, numbers_of
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.rerun import PlacedFact, fact, standing
from ledger.store.schema import TABLES, WITHDRAWABLE
from ledger.store.showing import NICKNAMES

ID = re.compile(r"([a-z_]+):(\d{1,12})\.(\d{1,12})")
# What is put right in another way, and how, by the number of the fact.
ELSEWHERE: Mapping[str, Callable[[str], Remedy]] = {
    "entry": lambda number: Remedy("correct_or_reverse_entry", entry=number),
    "posting": lambda _: Remedy("reverse_entry_or_rule"),
    "line": lambda _: Remedy("correct_or_reverse_its_entry"),
    "line_outcome": lambda _: Remedy("end_held_line"),
    "closing": lambda _: Remedy("reopen_period"),
    "doubt_settled": lambda _: Remedy("reopen_doubt"),
    "reversal": lambda number: Remedy("undo_reversal", reversal=number),
    "withdrawal": lambda _: Remedy("enter_again"),
    "erasure": lambda _: Remedy("enter_text_again"),
    "budget_posting": lambda _: Remedy("withdraw_cause"),
    "plan_posting": lambda _: Remedy("withdraw_cause"),
    "document_line": lambda _: Remedy("claim_again"),
    "claim_posting": lambda _: Remedy("claim_again"),
}


@dataclass(frozen=True)
class FactNow:
    """A fact by its id and its columns, and how it stands now.

    Of a withdrawn one: withdrawn, or did_not_count when it did not count before. Of one that counts
    since: takes_its_place, or counts_again.
    """

    fact: PlacedFact
    standing: str


@dataclass(frozen=True)
class BaselineMoved:
    """A job whose baseline was worked out again: sources of postings with their references."""

    job: str
    sources: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class FactsWithdrawn(Outcome):
    """Facts withdrawn, those that count since, and what followed of them.

    `adds_nothing` is the file with the right fact when nothing of it counts now.
    """

    facts: tuple[FactNow, ...]
    adds_nothing: str | None
    baselines: tuple[BaselineMoved, ...]
    short: tuple[OmissionShort, ...]


@dataclass(frozen=True)
class WithdrawalAsked:
    """What is to be withdrawn, why, and the file with the right fact if there is one."""

    facts: list[PlacedFact]
    reason: str
    right: RightFile | None


def withdraw_facts(
    book: Book, batch: Batch, ids: Sequence[str], reason: str, right: RightFile | None = None
) -> FactsWithdrawn:
    """Withdraw facts by their ids and post what follows.

    Raises: Refused, naming the facts that stand in the way.
    """
    asked = _asked(book, ids, reason, right)
    before = {each.table: standing_ids(book, each.table) for each in asked.facts}
    batch.append("withdrawal", _rows(asked))
    refuse_approved_lines(book, asked.facts)
    refuse_certified(book, asked.facts)
    short = _follow(book, batch, asked)
    bars_after(book, asked.facts)
    facts = _facts_now(book, asked, before)
    counts = any(each.standing == "takes_its_place" for each in facts)
    adds_nothing = asked.right.path.name if asked.right and not counts else None
    baselines = _baselines_moved(book, batch)
    moved = {(each.job, name) for each in baselines for _, name in each.sources}
    kept = tuple(each for job, each in short if (job, each.change) in moved)
    return FactsWithdrawn(facts, adds_nothing, baselines, kept)


def _follow(book: Book, batch: Batch, asked: WithdrawalAsked) -> list[tuple[str, OmissionShort]]:
    """Post what follows, and add the right fact; return, with its job, what could not follow."""
    right = _right_fact(book, asked)
    if not {each.table for each in asked.facts} <= WITHOUT_EFFECT:
        replay = post_differences(book, batch, write_calendar, right)
    elif right:
        replay = load_in_place(book, write_calendar, right)
    else:
        return []
    _append_right(batch, asked, replay)
    return replay.short


def _asked(book: Book, ids: Sequence[str], reason: str, right: RightFile | None) -> WithdrawalAsked:
    if not reason.strip():
        raise Refused("reason_missing")
    facts = sorted((_fact(book, each) for each in dict.fromkeys(ids)), key=_place)
    if right and any(each.table == "hand_tag" for each in facts):
        raise Refused("right_fact_of_tag", remedy=Remedy("tag_entries"))
    if right and any(each.table == "sending" for each in facts):
        raise Refused("right_fact_of_sending", remedy=Remedy("sendings"))
    if right and any(each.table == "sign_off" for each in facts):
        raise Refused("right_fact_of_sign_off", remedy=Remedy("sign_off"))
    if right and any(each.table == "worker_alias" for each in facts):
        raise Refused("right_fact_of_alias", remedy=Remedy("confirm_alias"))
    if right and any(each.table == "final_account" for each in facts):
        raise Refused("right_fact_of_final_account")
    if right and any(each.table == "payment" for each in facts):
        raise Refused("right_fact_of_payment", remedy=Remedy("load", what="payments"))
    if right and len({(each.table, each.place_batch) for each in facts}) > 1:
        raise Refused("right_fact_many_places")
    for each in facts:
        bars_before(book, each)
    return WithdrawalAsked(facts, reason.strip(), right)


def _place(each: PlacedFact) -> tuple[str, int, int, int, int]:
    return each.table, each.place_batch, each.place_row, each.batch, each.row


def _fact(book: Book, fact_id: str) -> PlacedFact:
    """Return the fact of an id. Raises: Refused when it is none that can be withdrawn."""
    match = ID.fullmatch(fact_id.strip().lower())
    if not match:
        raise Refused("fact_id_unreadable", given=fact_id, remedy=Remedy("show_ids"))
    table = NICKNAMES.get(match[1], match[1])
    if table not in WITHDRAWABLE:
        raise _not_withdrawable(fact_id, table, f"{match[2]}.{match[3]}")
    placed, withdrawn_in = fact(book, table, int(match[2]), int(match[3]))
    if placed is None:
        raise Refused("fact_unknown", given=fact_id, remedy=Remedy("show", what=table))
    if withdrawn_in:
        raise Refused("fact_withdrawn", given=fact_id, batch=withdrawn_in)
    return placed


def _not_withdrawable(fact_id: str, table: str, number: str) -> Refused:
    if table in ELSEWHERE:
        return Refused("fact_not_withdrawable", given=fact_id, remedy=ELSEWHERE[table](number))
    known = tuple(sorted(WITHDRAWABLE))
    if table in TABLES:
        return Refused("table_not_withdrawable", given=fact_id, table=table, withdrawable=known)
    return Refused("word_not_withdrawable", given=fact_id, word=table, withdrawable=known)


def _rows(asked: WithdrawalAsked) -> dict[str, list[Any]]:
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


def _right_fact(in_book: Book, asked: WithdrawalAsked) -> RightFact | None:
    if asked.right is None:
        return None
    first, file = asked.facts[0], asked.right
    numbers = numbers_of(in_book, asked.facts)

    def load(book: Book, batch: Recording) -> None:
        load_right(book, batch, file, asked.facts, numbers)

    return RightFact(first.table, (first.place_batch, first.place_row), load)


def _append_right(batch: Batch, asked: WithdrawalAsked, replay: Replay) -> None:
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


def _facts_now(
    book: Book, asked: WithdrawalAsked, before: dict[str, set[str]]
) -> tuple[FactNow, ...]:
    now = [
        FactNow(each, "withdrawn" if each.named in before[each.table] else "did_not_count")
        for each in asked.facts
    ]
    for table, ids in before.items():
        facts = {each.named: each for each in standing(book, table)}
        for named in sorted(standing_ids(book, table) - ids, key=lambda name: _place(facts[name])):
            is_new = facts[named].batch == book.upto
            now.append(FactNow(facts[named], "takes_its_place" if is_new else "counts_again"))
    return tuple(now)


def _baselines_moved(book: Book, batch: Batch) -> tuple[BaselineMoved, ...]:
    moved: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for job, source, reference in book.rows("inputs/budgets_moved", batch=batch.sequence):
        moved[job].append((source, reference))
    return tuple(BaselineMoved(job, tuple(sources)) for job, sources in moved.items())
