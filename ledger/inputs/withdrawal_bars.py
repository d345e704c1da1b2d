"""What stands in the way of a withdrawal: facts and entries that rest on what is withdrawn."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

from ledger.baseline.postings import is_frozen
from ledger.changes.prices import PriceList
from ledger.changes.requests import Change, changes_of
from ledger.domain.change_life import APPROVALS, state_on
from ledger.errors import Refused, Remedy
from ledger.inputs.daywork_sheets import rows_apart, sheet_faults
from ledger.inputs.sums_named import sums_left_out
from ledger.store.book import Book
from ledger.store.rerun import PlacedFact, standing

BEFORE_THE_FREEZE = frozenset({"work_package", "milestone", "plan_line"})


def bars_before(book: Book, fact: PlacedFact) -> None:
    """Raises: Refused when a fact is never withdrawn, or not any more."""
    if fact.table == "setting" and fact.values["name"].startswith("book."):
        raise Refused("setting_of_book", fact=fact.named, setting=fact.values["name"])
    if fact.table == "charge_rate" and (rests := _approved_prices(book, fact)):
        right = Remedy("load", what="charge-rates")
        raise Refused("rate_approved", fact=fact.named, changes=tuple(rests), remedy=right)
    if fact.table == "job" and (rests := _approved_terms(book, fact)):
        right = Remedy("load", what="job")
        raise Refused("job_terms_approved", fact=fact.named, changes=tuple(rests), remedy=right)
    if fact.table in BEFORE_THE_FREEZE and is_frozen(book, fact.values["job"]):
        by_name, job = Remedy("load", what="baseline-changes"), fact.values["job"]
        raise Refused("estimate_frozen", where=fact.named, job=job, remedy=by_name)


def _approved_prices(book: Book, fact: PlacedFact) -> list[str]:
    """Return the changes of which an approved revision is priced by a charge rate."""
    return [
        change.code
        for change in changes_of(book, fact.values["job"]).values()
        if change.is_approved and change.facts["change_basis"] != "no_charge"
        if _is_priced_by(book, change, fact)
    ]


def _approved_terms(book: Book, fact: PlacedFact) -> list[str]:
    """Return the changes approved at percentages that the job had by this row."""
    job = fact.values["job"]
    prices = PriceList(book, job)
    return [
        change.code
        for change in changes_of(book, job).values()
        for event in change.events
        if event.name in APPROVALS
        and prices.terms_of(change.offered_in(event.revision)).batch == fact.place_batch
        and prices.rests_on_terms(change, event.revision)
    ]


def _is_priced_by(book: Book, change: Change, fact: PlacedFact) -> bool:
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
        and line["ms"] is not None
        and line["trade"] in (rate["trade"], None)
        and rate["grade"] in (line["grade"], None)
        for line in change.lines.get(revision, [])
    )


def bars_after(book: Book, facts: Sequence[PlacedFact]) -> None:
    """Raises: Refused when what is left cannot stand without what was withdrawn."""
    tables = {each.table for each in facts}
    for table, look in LOOKS.items():
        if table in tables:
            look(book, [fact for fact in facts if fact.table == table])


def refuse_approved_lines(book: Book, facts: Sequence[PlacedFact]) -> None:
    """Raises: Refused when a line is of a revision that is approved, whatever takes its place."""
    approvals = [e for e in standing(book, "change_event") if e.values["event"] in APPROVALS]
    for fact in (each for each in facts if each.table == "change_line"):
        key = [fact.values[name] for name in ("job", "change", "revision")]
        if rests := [each for each in approvals if _revision(each) == key]:
            raise Refused(
                "line_approved",
                fact=fact.named,
                change=key[1],
                revision=key[2],
                approvals=_some(rests),
            )


def _revision(event: PlacedFact) -> list[Any]:
    return [event.values["job"], event.values["change"], event.values["revision"] or 1]


def _changes(book: Book, facts: list[PlacedFact]) -> None:
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
                ("daywork_item", "change"),
                ("daywork_sheet", "change"),
                ("progress", "work_package"),
                ("baseline_change", "work_package"),
            )
            for each in standing(book, table)
            if (each.values["job"], each.values[column]) == key
        ]
        if rests:
            named, rest = _named(facts), _some(rests)
            raise Refused("change_needed", facts=named, change=key[1], rests=rest)


def _jobs(book: Book, facts: list[PlacedFact]) -> None:
    known = {row["job"] for row in book.current("job")}
    for fact in facts:
        if fact.values["job"] not in known and book.rows(
            "jobs/codes_of_job", job=fact.values["job"]
        ):
            raise Refused("job_needed", facts=_named(facts), job=fact.values["job"])
        if missing := sums_left_out(book, fact.values["job"]):
            name, code = missing[0]
            raise Refused("sum_needed", facts=_named(facts), name=name, change=code)


def _crew(book: Book, facts: list[PlacedFact]) -> None:
    workers = {fact.values["worker_id"] for fact in facts}
    for worker, entries, ms, first, last in book.rows("inputs/crew_needed"):
        if worker in workers:
            raise Refused(
                "crew_needed",
                facts=_named(facts),
                worker=worker,
                entries=entries,
                ms=int(ms),
                first=first,
                last=last,
                remedy=Remedy("with_file"),
            )


def _rules(book: Book, facts: list[PlacedFact]) -> None:
    rules = {fact.values["rule"] for fact in facts}
    for rule, rows in _grouped(book.current("rule"), "rule").items():
        shares = sum(row["share"] for row in rows)
        if rule[0] in rules and shares != 1:
            named, short = _named(facts), shares.normalize()
            raise Refused("shares_incomplete", facts=named, rule=rule[0], shares=short)


def _baseline_changes(book: Book, facts: list[PlacedFact]) -> None:
    named = {(fact.values["job"], fact.values["name"]) for fact in facts}
    for key, rows in _grouped(book.current("baseline_change"), "job", "name").items():
        total = sum(row["ms"] for row in rows)
        if key in named and total:
            rows_of = _named(facts)
            raise Refused("baseline_change_incomplete", facts=rows_of, name=key[1], ms=total)
    _packages_gone(book, facts)


def _packages_gone(book: Book, facts: list[PlacedFact]) -> None:
    """Refuse what takes a package away that came by a baseline change and was measured since."""
    for job in sorted({fact.values["job"] for fact in facts}):
        known = {code for code, _ in book.rows("jobs/codes_of_job", job=job)}
        rests = [
            each
            for each in standing(book, "progress")
            if each.values["job"] == job and each.values["work_package"] not in known
        ]
        if rests:
            named, package = _named(facts), rests[0].values["work_package"]
            raise Refused("package_needed", facts=named, package=package, rests=_some(rests))


def _estimate(book: Book, facts: list[PlacedFact]) -> None:
    packages = {(row["job"], row["work_package"]) for row in book.current("work_package")}
    for row in book.current("work_package"):
        base = row["base_package"]
        if row["technique"] == "apportioned_effort" and (row["job"], base) not in packages:
            named, package = _named(facts), row["work_package"]
            raise Refused("base_needed", facts=named, package=package, base=base)


def _daywork(book: Book, facts: list[PlacedFact]) -> None:
    """Refuse sheets whose rows do not make one sheet any more, or agree more than was done."""
    touched = {(each.values["job"], each.values["change"]) for each in facts}
    for job, change in sorted(touched):
        rows = [
            row
            for row in book.records("changes/daywork_sheets_known", job=job)
            if row["change"] == change
        ]
        sheets = dict.fromkeys((change, row["daywork_sheet"]) for row in rows)
        for (_, sheet), _, why in (*rows_apart(rows), *sheet_faults(book, job, sheets)):
            named = _named(facts)
            raise Refused("daywork_sheet_astray", facts=named, change=change, sheet=sheet, why=why)


def _grouped(rows: Iterable[dict[str, Any]], *names: str) -> dict[tuple[Any, ...], list[Any]]:
    groups: dict[tuple[Any, ...], list[Any]] = defaultdict(list)
    for row in rows:
        groups[tuple(row[name] for name in names)].append(row)
    return groups


def _named(facts: Sequence[PlacedFact]) -> tuple[str, ...]:
    return tuple(each.named for each in facts)


def _some(facts: Sequence[PlacedFact], most: int = 5) -> str:
    """Return the first of the facts by name, and how many more there are."""
    more = f" and {len(facts) - most} more" if len(facts) > most else ""
    return ", ".join(_named(facts[:most])) + more


LOOKS = {
    "change": _changes,
    "job": _jobs,
    "crew": _crew,
    "rule": _rules,
    "baseline_change": _baseline_changes,
    "work_package": _estimate,
    "replanned_package": _packages_gone,
    "daywork_sheet": _daywork,
}
