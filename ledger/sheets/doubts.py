"""Doubts: what was booked and yet looks wrong, worked out on reading; and what a person settled."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from datetime import date, datetime
from typing import Any, TypedDict, cast

from ledger.domain.doubts import AMOUNTS, KINDS, amount_of
from ledger.domain.naming import pattern_of, pattern_of_any
from ledger.domain.pay import PAID_NOT_WORKED, classes_of
from ledger.errors import Refused, Remedy
from ledger.sheets.ending_outcomes import DoubtsRaised
from ledger.sheets.known_codes import stage_crew
from ledger.sheets.outcomes import DoubtsReopened, DoubtsSettled
from ledger.sheets.reversals import reason_of, refuse_all
from ledger.store import queries
from ledger.store.batches import Batch
from ledger.store.book import Book


class Doubt(TypedDict):
    """A doubt with its id, and where to look; a settled one with who settled it and why."""

    doubt: str
    severity: str
    kind: str
    worker_id: str | None
    day: date
    jobs: list[str]
    workers: list[str]
    entries: list[str]
    file: str
    line: int
    message: str
    about: str
    settled_by: str | None
    settled_at: datetime | None
    reason: str | None


# The amounts that each query of a kind asks for, by the setting.
ASKED = {
    "daily_limit": {"limit_ms": "yard.daily_limit_hours"},
    "far_date": {"far_days": "doubts.far_days"},
    "before_opening": {"early_days": "doubts.early_days"},
    "work_and_absence": {"full_day_ms": "doubts.full_day_hours"},
    "attendance": {"tolerance_ms": "doubts.attendance_minutes"},
    "clock_rounding": {
        "step_ms": "doubts.rounding_minutes",
        "rounding_days": "doubts.rounding_days",
    },
}
_BY_CLOCK = frozenset({"attendance", "clock_rounding"})
# Kinds of a place on a day, and those of them of which one entry may stand for a day.
_OF_PLACES = frozenset(
    {
        *("day_off", "outside_job_dates", "change_closed", "package_finished"),
        *("before_request", "before_opening"),
    }
)
_OF_DAYS_OFF = frozenset({"day_off", "outside_job_dates"})
# What seldom changes from one load to the next: its query, and the kinds that look at it.
_KNOWN = {
    "doubt_job": ("sheets/doubt_jobs", {"outside_job_dates", "before_opening"}),
    "doubt_job_day": ("sheets/doubt_job_days", {"day_off"}),
    "doubt_planned": ("sheets/doubt_planned", {"trade_not_planned", "before_opening"}),
    "doubt_finished": ("sheets/doubt_finished", {"package_finished"}),
    "doubt_cause": ("sheets/doubt_causes", {"rework_cause"}),
    "doubt_kind_settled": ("sheets/doubt_kinds_settled", _OF_DAYS_OFF),
    "doubt_closed": ("sheets/doubt_closed", {"change_closed"}),
    "doubt_clock": ("sheets/doubt_clock", _BY_CLOCK),
    "doubt_requested": ("sheets/doubt_requested", {"before_request"}),
}


def doubts_known(book: Book, only: Collection[str] = KINDS) -> list[Doubt]:
    """Return all doubts, the settled ones too, the gravest first and of these the newest.

    `only` are the kinds to look for.
    """
    raised = _raised(book, None, only)
    if not raised:
        return []
    return cast(list[Doubt], book.records("sheets/doubt_summary", **raised))


def doubts_by_file(book: Book, doubts: Sequence[Doubt]) -> list[dict[str, Any]]:
    """Return a row for the doubts of one kind and file: how many, hours, entries, an example."""
    raised = _raised(book, None, KINDS)
    if not raised:
        return []
    book.stage("doubt", "sheets/doubt_summary", **raised)
    return book.records("sheets/doubts_by_file", doubts=[each["doubt"] for each in doubts])


def _raised(book: Book, batch: int | None, only: Collection[str]) -> dict[str, list[str]]:
    """Stage the doubts of the kinds that come up; return these kinds with their severities.

    Sums by worker and day and by place and day find the few days that are worth a look; entries
    are looked at on these days alone. With a batch only doubts that have an entry of it are sure to
    be among them; where all that counts is how many, one entry stands for all of a day.
    """
    settings = {row["name"]: row["value"] for row in book.current("setting")}
    severities = {kind: settings.get(f"doubts.{kind}", KINDS[kind][0]) for kind in KINDS}
    amounts = {
        name: amount_of(of, settings.get(of, AMOUNTS[of][0]))
        for asked in ASKED.values()
        for name, of in asked.items()
    }
    on = [kind for kind, severity in severities.items() if severity != "off" and kind in only]
    if not on:
        return {}
    named = _changes_named(book, on)
    book.stage("doubt_day", "sheets/doubt_days", batch=batch, naming=named["naming"])
    _stage_far(book, batch, on, amounts)
    _stage_known(book, batch, on)
    _stage_leave(book, on, amounts)
    book.stage("doubt_candidate", "sheets/doubt_candidates", kinds=on, batch=batch, **amounts)
    kinds = kinds_to_look_at(book)
    if not kinds:
        return {}
    _stage_chosen(book, frozenset(kinds), batch)
    book.stage("doubt_entry", "sheets/doubt_entries")
    book.stage("doubt_place", "sheets/doubt_places")
    if _BY_CLOCK & set(kinds):
        book.stage("doubt_clocked", "sheets/doubt_clocked")
    _stage_raised(book, kinds, {**amounts, **named})
    return {"kinds": kinds, "severities": [severities[kind] for kind in kinds]}


def _stage_known(book: Book, batch: int | None, on: Sequence[str]) -> None:
    """Stage what days are held against, empty where no kind that is on looks at it."""
    stage_crew(book)
    for name, (query, kinds) in _KNOWN.items():
        if kinds.isdisjoint(on):
            book.stage_none(name, query)
        else:
            book.stage_once(name, query)
    for name, query, kinds in (
        ("doubt_spot", "sheets/doubt_spots", _OF_PLACES),
        ("doubt_trade", "sheets/doubt_trades", {"trade_not_planned"}),
    ):
        if kinds.isdisjoint(on):
            book.stage_none(name, query)
        else:
            book.stage(name, query, batch=batch)
    # Days with entries tagged by hand: a load brings no such tags.
    if batch is None and "tags_disagree" in on:
        book.stage("doubt_tagged", "sheets/doubt_tagged")
    else:
        book.stage_none("doubt_tagged", "sheets/doubt_tagged")


def _stage_leave(book: Book, on: Sequence[str], amounts: Mapping[str, int]) -> None:
    """Stage the periods of which leave was paid that can be on no free day, if any leave was."""
    settings = {row["name"]: row["value"] for row in book.current("setting")}
    classes = [name for name, kind in classes_of(settings).items() if kind == PAID_NOT_WORKED]
    if "paid_leave" in on and book.rows("sheets/leave_paid", classes=classes)[0][0]:
        day = {"full_day_ms": amounts["full_day_ms"]}
        book.stage("doubt_leave", "sheets/doubt_leave", classes=classes, **day)
    else:
        book.stage_none("doubt_leave", "sheets/doubt_leave")


def _changes_named(book: Book, on: Sequence[str]) -> dict[str, object]:
    """Return the changes that notes may name, and by what pattern; `naming` is of any of them."""
    changes = book.rows("sheets/doubt_change_codes") if "note_names_change" in on else []
    known = [(job, change, pattern) for job, change in changes if (pattern := pattern_of(change))]
    return {
        "naming": pattern_of_any(change for _, change, _ in known),
        "change_jobs": [job for job, _, _ in known],
        "changes": [change for _, change, _ in known],
        "change_patterns": [pattern for _, _, pattern in known],
    }


def _stage_far(
    book: Book, batch: int | None, on: Sequence[str], amounts: Mapping[str, int]
) -> None:
    """Stage the files with days far from each other, if the days looked at can be so."""
    asked = {"batch": batch, "far_days": amounts["far_days"]}
    if "far_date" in on and (batch is None or book.rows("sheets/doubt_days_apart", **asked)[0][0]):
        book.stage("doubt_far", "sheets/doubt_far", **asked)
    else:
        book.stage_none("doubt_far", "sheets/doubt_far")


def _stage_chosen(book: Book, kinds: frozenset[str], batch: int | None) -> None:
    """Stage the entries to look at for doubts of some kinds."""
    of_days = kinds - _OF_PLACES - {"far_date"}
    which = {
        "of_days": bool(of_days),
        "one_enough": batch is not None and bool(kinds & _OF_DAYS_OFF),
        "at_places": bool(kinds & _OF_PLACES),
        "far": "far_date" in kinds,
    }
    named = [f"sheets/doubt_entries_{part}" for part, wanted in which.items() if wanted]
    listed = " UNION ".join(f"FROM {queries.without_order(query)}" for query in named)
    inputs: dict[str, object] = {}
    for query in named:
        inputs |= book.inputs_of(query, {"batch": batch})
    book.execute(f"CREATE OR REPLACE TEMP TABLE staged_doubt_chosen AS {listed}", inputs)


def kinds_to_look_at(book: Book) -> list[str]:
    """Return the kinds with a day that may raise a doubt, in the order of `KINDS`."""
    kinds = {kind for (kind,) in book.rows("sheets/doubt_kinds")}
    return [kind for kind in KINDS if kind in kinds]


def _stage_raised(book: Book, kinds: Sequence[str], common_inputs: Mapping[str, object]) -> None:
    """Stage the doubts of the kinds, one under the other."""
    named = {kind: f"sheets/doubts_{kind}" for kind in kinds}
    listed = " UNION ALL ".join(
        f"SELECT {queries.quoted(kind)} AS kind, worker_id, day, entries, about, message"
        f" FROM {queries.without_order(query)}"
        for kind, query in named.items()
    )
    inputs: dict[str, object] = {}
    for query in named.values():
        inputs |= book.inputs_of(query, common_inputs)
    book.execute(f"CREATE OR REPLACE TEMP TABLE staged_doubt_raised AS {listed}", inputs)


def doubts_of_batch(book: Book, batch: Batch) -> DoubtsRaised:
    """Return how many doubts of each kind the entries of a batch raise."""
    raised = _raised(book, batch.sequence, KINDS)
    if not raised:
        return DoubtsRaised(Counter(), 0)
    rows = book.rows("sheets/doubts_counted", batch=batch.sequence, **raised)
    # The gravest come first.
    kinds = Counter(kind for kind, _ in rows)
    return DoubtsRaised(kinds, sum(severity == "warn" for _, severity in rows))


def settle(
    book: Book, batch: Batch, ids: Sequence[str], reason: str, others: Sequence[Doubt] = ()
) -> DoubtsSettled:
    """Keep that a person settled doubts; `others` are such as are not of entries.

    Raises: Refused, naming every id that is no doubt or settled already; then none is.
    """
    chosen = _chosen(book, ids, others, settled=False)
    _keep(batch, chosen, settled=True, reason=reason_of(reason))
    return DoubtsSettled(len(chosen))


def reopen(
    book: Book, batch: Batch, ids: Sequence[str], reason: str, others: Sequence[Doubt] = ()
) -> DoubtsReopened:
    """Show doubts again that were settled wrongly; `others` as for `settle`.

    Raises: Refused, naming every id that is no settled doubt; then none is.
    """
    chosen = _chosen(book, ids, others, settled=True)
    _keep(batch, chosen, settled=False, reason=reason_of(reason))
    return DoubtsReopened(len(chosen))


def _chosen(
    book: Book, texts: Sequence[str], others: Sequence[Doubt], *, settled: bool
) -> list[Doubt]:
    known = {each["doubt"]: each for each in (*doubts_known(book), *others)}
    ids = list(dict.fromkeys(text.strip().lower() for text in texts))
    refuse_all([fault for each in ids if (fault := _fault(each, known.get(each), settled))])
    return [known[each] for each in ids]


def _fault(doubt: str, known: Doubt | None, settled: bool) -> Refused | None:
    if known is None:
        return Refused("doubt_unknown", doubt=doubt, remedy=Remedy("doubts_all"))
    if bool(known["settled_by"]) == settled:
        return None
    if settled:
        return Refused("doubt_open", doubt=doubt)
    assert known["settled_at"] is not None
    return Refused(
        "doubt_settled",
        doubt=doubt,
        actor=known["settled_by"],
        day=known["settled_at"].date(),
        reason=known["reason"],
    )


def _keep(batch: Batch, chosen: Sequence[Doubt], *, settled: bool, reason: str) -> None:
    columns: dict[str, list[object]] = {
        "kind": [each["kind"] for each in chosen],
        "about": [each["about"] for each in chosen],
        "settled": [settled] * len(chosen),
        "reason": [reason] * len(chosen),
    }
    batch.append("doubt_settled", columns)


def of_kind(kind: str, others: Collection[str] = ()) -> str:
    """Return a kind of doubt, of entries or another. Raises: Refused when it is none."""
    word = kind.strip().lower()
    if word not in KINDS and word not in others:
        raise Refused("doubt_kind_unknown", given=kind, kinds=(*KINDS, *others))
    return word
