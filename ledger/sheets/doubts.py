"""Doubts: what was booked and yet looks wrong, worked out on reading; and what a person settled."""

from collections import Counter
from collections.abc import Sequence
from typing import Any

from ledger.domain.doubts import AMOUNTS, KINDS, amount_of
from ledger.errors import Refused, Remedy
from ledger.sheets.outcomes import DoubtsRaised, DoubtsReopened, DoubtsSettled
from ledger.sheets.reversals import reason_of, refuse_all
from ledger.store.batches import Batch
from ledger.store.book import Book

Doubt = dict[str, Any]

# The amounts that each query of a kind asks for, by the setting.
ASKED = {
    "daily_limit": {"limit_ms": "yard.daily_limit_hours"},
    "far_date": {"days": "doubts.far_days"},
    "work_and_absence": {"full_day_ms": "doubts.full_day_hours"},
    "attendance": {"tolerance_ms": "doubts.attendance_minutes"},
    "clock_rounding": {"step_ms": "doubts.rounding_minutes", "days": "doubts.rounding_days"},
}


# What the entries or the book must have for a kind to come up: a column of `doubts_possible`.
NEEDS = {
    "clock_overlap": "clock",
    "hours_and_times": "clock",
    "past_midnight": "clock",
    "clock_rounding": "clock",
    "attendance": "attendance",
    "no_time": "no_time",
    "rework_cause": "rework",
    "double_entry": "several",
    "same_line_twice": "several",
    "work_and_absence": "absence",
    "day_off": "calendar",
    "change_closed": "changes",
    "package_finished": "progress",
}


def doubts_known(book: Book, batch: int | None = None) -> list[Doubt]:
    """Return all doubts, the settled ones too, the gravest first and of these the newest.

    With a batch only those that have an entry of it.
    """
    found, kinds = _stage_kinds(book, batch)
    return book.records("sheets/doubts_told", batch=batch, **kinds) if found else []


def doubts_by_file(book: Book, doubts: Sequence[Doubt]) -> list[dict[str, Any]]:
    """Return a row for the doubts of one kind and file: how many, hours, entries, an example."""
    book.stage("doubt", "sheets/doubts_told", batch=None, **_stage_kinds(book, None)[1])
    return book.records("sheets/doubts_by_file", doubts=[each["doubt"] for each in doubts])


def _stage_kinds(book: Book, batch: int | None) -> tuple[int, dict[str, list[str]]]:
    """Stage the doubts of each kind; return how many, and the kinds with the severity of each."""
    book.stage("doubt_entry", "sheets/doubt_entries", batch=batch)
    book.stage("doubt_place", "sheets/doubt_places")
    settings = {row["name"]: row["value"] for row in book.current("setting")}
    severities = [settings.get(f"doubts.{kind}", KINDS[kind][0]) for kind in KINDS]
    has = book.records("sheets/doubts_possible")[0]
    if _can_come_up("clock_rounding", has):
        book.stage("doubt_clocked", "sheets/doubt_clocked")
    found = 0
    for kind, severity in zip(KINDS, severities, strict=True):
        if severity == "off" or not _can_come_up(kind, has):
            book.stage_none(f"doubt_{kind}", f"sheets/doubts_{kind}")
            continue
        amounts = {
            name: amount_of(of, settings.get(of, AMOUNTS[of][0]))
            for name, of in ASKED.get(kind, {}).items()
        }
        found += book.stage(f"doubt_{kind}", f"sheets/doubts_{kind}", **amounts)
    return found, {"kinds": list(KINDS), "severities": severities}


def _can_come_up(kind: str, has: dict[str, bool]) -> bool:
    return has.get(NEEDS.get(kind, ""), True)


def doubts_of_batch(book: Book, batch: Batch) -> DoubtsRaised:
    """Return how many doubts of each kind the entries of a batch raise."""
    found = doubts_known(book, batch.sequence) if batch.counts.get("entry") else []
    raised = [each for each in found if not each["settled_by"]]
    # The gravest come first.
    kinds = Counter(each["kind"] for each in raised)
    return DoubtsRaised(kinds, sum(each["severity"] == "warn" for each in raised))


def settle(book: Book, batch: Batch, given: Sequence[str], reason: str) -> DoubtsSettled:
    """Keep that a person settled doubts.

    Raises: Refused, naming every id that is no doubt or settled already; then none is.
    """
    chosen = _chosen(book, given, settled=False)
    _keep(batch, chosen, settled=True, reason=reason_of(reason))
    return DoubtsSettled(len(chosen))


def reopen(book: Book, batch: Batch, given: Sequence[str], reason: str) -> DoubtsReopened:
    """Show doubts again that were settled wrongly.

    Raises: Refused, naming every id that is no settled doubt; then none is.
    """
    chosen = _chosen(book, given, settled=True)
    _keep(batch, chosen, settled=False, reason=reason_of(reason))
    return DoubtsReopened(len(chosen))


def _chosen(book: Book, given: Sequence[str], *, settled: bool) -> list[Doubt]:
    known = {each["doubt"]: each for each in doubts_known(book)}
    ids = list(dict.fromkeys(text.strip().lower() for text in given))
    refuse_all([fault for each in ids if (fault := _fault(each, known.get(each), settled))])
    return [known[each] for each in ids]


def _fault(doubt: str, found: Doubt | None, settled: bool) -> Refused | None:
    if found is None:
        return Refused("doubt_unknown", doubt=doubt, remedy=Remedy("doubts_all"))
    if bool(found["settled_by"]) == settled:
        return None
    if settled:
        return Refused("doubt_open", doubt=doubt)
    return Refused(
        "doubt_settled",
        doubt=doubt,
        actor=found["settled_by"],
        day=found["settled_at"].date(),
        reason=found["reason"],
    )


def _keep(batch: Batch, chosen: Sequence[Doubt], *, settled: bool, reason: str) -> None:
    columns: dict[str, list[object]] = {
        "kind": [each["kind"] for each in chosen],
        "about": [each["about"] for each in chosen],
        "settled": [settled] * len(chosen),
        "reason": [reason] * len(chosen),
    }
    batch.append("doubt_settled", columns)


def of_kind(kind: str) -> str:
    """Return a kind of doubt. Raises: Refused when it is none."""
    word = kind.strip().lower()
    if word not in KINDS:
        raise Refused("doubt_kind_unknown", given=kind, kinds=tuple(KINDS))
    return word
