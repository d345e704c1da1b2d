"""What stands in the way of a withdrawal: facts and entries that rest on what is withdrawn."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

from ledger.baseline.freeze import hours
from ledger.baseline.postings import is_frozen
from ledger.changes.requests import Change, changes_of
from ledger.domain.allocation import hours_of
from ledger.domain.change_life import APPROVALS, state_on
from ledger.errors import Refused
from ledger.store.book import Book
from ledger.store.rerun import Placed, standing

BEFORE_THE_FREEZE = frozenset({"work_package", "milestone", "plan_line"})


def bars_before(book: Book, fact: Placed) -> None:
    """Raises: Refused when a fact is never withdrawn, or not any more."""
    if fact.table == "setting" and fact.values["name"].startswith("book."):
        raise Refused(f"{fact.named}: {fact.values['name']} is of the book itself, and stays")
    if fact.table == "charge_rate" and (rests := _approved_prices(book, fact)):
        raise Refused(
            f"{fact.named}: approved prices rest on it: {', '.join(rests)}; what was approved "
            "stays as approved, load the right rate from its day"
        )
    if fact.table in BEFORE_THE_FREEZE and is_frozen(book, fact.values["job"]):
        raise Refused(
            f"{fact.named}: the estimate of {fact.values['job']} is frozen; change it by a named "
            "baseline change (load baseline-changes)"
        )


def _approved_prices(book: Book, fact: Placed) -> list[str]:
    """Return the changes of which an approved revision is priced by a charge rate."""
    return [
        change.code
        for change in changes_of(book, fact.values["job"]).values()
        if change.is_approved and change.facts["change_basis"] != "no_charge"
        if _is_priced_by(book, change, fact)
    ]


def _is_priced_by(book: Book, change: Change, fact: Placed) -> bool:
    state = state_on(change.events, max(event.day for event in change.events))
    revision = state.approved_revision or 1
    day = state.pricing_date(revision) or change.facts["requested_on"]
    rate = fact.values
    if rate["effective_from"] > day:
        return False
    # A later rate of the same trade and grade is the one in force.
    for other in book.current("charge_rate"):
        alike = all(other[name] == rate[name] for name in ("job", "trade", "grade"))
        if alike and rate["effective_from"] < other["effective_from"] <= day:
            return False
    return any(
        line["price_kind"] == "labour"
        and line["trade"] in (rate["trade"], None)
        and rate["grade"] in (line["grade"], None)
        for line in change.lines.get(revision, [])
    )


def bars_after(book: Book, facts: Sequence[Placed]) -> None:
    """Raises: Refused when what is left cannot stand without what was withdrawn."""
    tables = {each.table for each in facts}
    for table, look in LOOKS.items():
        if table in tables and (wrong := look(book, [f for f in facts if f.table == table])):
            raise Refused(f"{', '.join(f.named for f in facts if f.table == table)}: {wrong}")


def refuse_approved_lines(book: Book, facts: Sequence[Placed]) -> None:
    """Raises: Refused when a line is of a revision that is approved, whatever takes its place."""
    approvals = [e for e in standing(book, "change_event") if e.values["event"] in APPROVALS]
    for fact in (each for each in facts if each.table == "change_line"):
        key = [fact.values[name] for name in ("job", "change", "revision")]
        if rests := [each for each in approvals if _revision(each) == key]:
            raise Refused(
                f"{fact.named}: a line of {key[1]} revision {key[2]}, approved by {_named(rests)}; "
                "what was approved stays as approved, more is a new change"
            )


def _revision(event: Placed) -> list[Any]:
    return [event.values["job"], event.values["change"], event.values["revision"] or 1]


def _changes(book: Book, facts: list[Placed]) -> str | None:
    known = {(row["job"], row["change"]) for row in book.current("change")}
    for fact in facts:
        key = fact.values["job"], fact.values["change"]
        if key in known:
            continue
        rests = [
            each
            for table, column in (
                ("change_line", "change"),
                ("change_event", "change"),
                ("progress", "work_package"),
                ("baseline_change", "work_package"),
            )
            for each in standing(book, table)
            if (each.values["job"], each.values[column]) == key
        ]
        if rests:
            return f"the change {key[1]} would be gone, and {_named(rests)} rest on it"
    return None


def _jobs(book: Book, facts: list[Placed]) -> str | None:
    known = {row["job"] for row in book.current("job")}
    for fact in facts:
        if fact.values["job"] not in known and book.rows(
            "jobs/codes_of_job", job=fact.values["job"]
        ):
            return f"the job {fact.values['job']} would be gone, with packages that rest on it"
    return None


def _crew(book: Book, facts: list[Placed]) -> str | None:
    workers = {fact.values["worker_id"] for fact in facts}
    for worker, entries, ms, first, last in book.rows("inputs/crew_needed"):
        if worker in workers:
            many = "1 entry" if entries == 1 else f"{entries} entries"
            return (
                f"worker {worker} has {many} ({hours_of(int(ms))} h, {first} to {last}) and would "
                "have no trade; give the right row with --with"
            )
    return None


def _rules(book: Book, facts: list[Placed]) -> str | None:
    rules = {fact.values["rule"] for fact in facts}
    for rule, rows in _grouped(book.current("rule"), "rule").items():
        shares = sum(row["share"] for row in rows)
        if rule[0] in rules and shares != 1:
            return (
                f"the shares of rule {rule[0]} would sum to {shares.normalize():f}, not to 1; "
                "withdraw all its rows"
            )
    return None


def _baseline_changes(book: Book, facts: list[Placed]) -> str | None:
    named = {(fact.values["job"], fact.values["name"]) for fact in facts}
    for key, rows in _grouped(book.current("baseline_change"), "job", "name").items():
        total = sum(row["ms"] for row in rows)
        if key in named and total:
            return (
                f"the rows of {key[1]} would sum to {hours(total)} h, not to 0; "
                "withdraw all its rows"
            )
    return None


def _estimate(book: Book, facts: list[Placed]) -> str | None:
    packages = {(row["job"], row["work_package"]) for row in book.current("work_package")}
    for row in book.current("work_package"):
        base = row["base_package"]
        if row["technique"] == "apportioned_effort" and (row["job"], base) not in packages:
            return f"{row['work_package']} is apportioned to {base}, which would be gone"
    return None


def _grouped(rows: Iterable[dict[str, Any]], *names: str) -> dict[tuple[Any, ...], list[Any]]:
    found: dict[tuple[Any, ...], list[Any]] = defaultdict(list)
    for row in rows:
        found[tuple(row[name] for name in names)].append(row)
    return found


def _named(facts: Sequence[Placed], most: int = 5) -> str:
    names = [each.named for each in facts]
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


LOOKS = {
    "change": _changes,
    "job": _jobs,
    "crew": _crew,
    "rule": _rules,
    "baseline_change": _baseline_changes,
    "work_package": _estimate,
}
