"""Loads of change requests, their prices and their events."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from zoneinfo import ZoneInfo

from ledger.baseline.approval import Approver
from ledger.changes.requests import Change, changes_of, event_of
from ledger.domain.change_life import APPROVALS, OFFERED, Event, IllegalMove, state_on
from ledger.errors import Faults, Remedy
from ledger.inputs import change_guards as guards
from ledger.inputs import columns
from ledger.inputs.change_line_checks import LineChecks
from ledger.inputs.codes import refuse_shared_codes
from ledger.inputs.outcomes import FileLoaded, Reworded, WholesLoaded
from ledger.inputs.small_files import replace_whole, supersede
from ledger.inputs.yard_files import file_loaded, refuse_equal_keys
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow, ReadTable


def load_changes(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add the change requests of a file."""
    return add_changes(book, batch, read_input(book, file, columns.CHANGES), job)


def add_changes(book: Book, batch: Batch, table: ReadTable, job: str) -> FileLoaded:
    """Add change requests."""
    refuse_equal_keys(table, ("change",))
    known = changes_of(book, job)
    reworded = []
    for line in table.lines:
        before = known.get(line["change"])
        if before and any(event.name in {"submitted", *APPROVALS} for event in before.events):
            _refuse_another_offer(table, line, before)
            reworded += _reworded(book, batch, line, before)
    table.settle()
    refuse_shared_codes(
        book, table.file.name or "number", job, changes={line["change"] for line in table.lines}
    )
    rows = [{"job": job, **line.values} for line in table.lines]
    return file_loaded(table, [supersede(book, batch, "change", rows), *reworded])


def _reworded(book: Book, batch: Batch, line: FileRow, before: Change) -> list[Reworded]:
    """Return from when a new wording shows of a change that was sent."""
    if all(line[name] == before.facts[name] for name in ("title", "description")):
        return []
    zone = ZoneInfo(book.setting("yard.zone", "UTC"))
    shown_from = batch.recorded_at.astimezone(zone).date()
    return [Reworded(before.code, before.is_approved, shown_from)]


def _refuse_another_offer(table: ReadTable, line: FileRow, before: Change) -> None:
    """Note a fault where a change would be another than the one that was sent to the owner."""
    word = "approved" if before.is_approved else "submitted"
    for name in ("change_basis", "origin"):
        stated = line[name] or ("owner" if name == "origin" else None)
        if stated != before.facts[name]:
            table.fault(line.number, f"{name} cannot be altered once the change was {word}")


def load_change_lines(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add the price lines of a file."""
    return add_change_lines(book, batch, read_input(book, file, columns.CHANGE_LINES), job)


def add_change_lines(book: Book, batch: Batch, table: ReadTable, job: str) -> FileLoaded:
    """Add price lines, each revision of a change whole."""
    known = changes_of(book, job)
    checks = LineChecks(book, job, table)
    wholes: dict[tuple[str, int], list[FileRow]] = defaultdict(list)
    for line in table.lines:
        if line["change"] and line["change"] not in known:
            _unknown_change(table, line)
        checks.check(line)
        wholes[line["change"], line["revision"] or 1].append(line)
    for lines in wholes.values():
        checks.check_whole(lines)
    table.settle()
    changed = 0
    for (code, revision), lines in wholes.items():
        chosen = {"job": job, "change": code, "revision": revision}
        rows = [_line_row(chosen, place, line) for place, line in enumerate(lines, start=1)]
        if replace_whole(book, batch, "change_line", rows, chosen):
            changed += 1
            _refuse_offered(table, known[code], revision, lines[0])
    table.settle()
    return file_loaded(table, [WholesLoaded("change_line", changed, len(wholes) - changed)])


def _line_row(chosen: dict[str, Any], position: int, line: FileRow) -> dict[str, Any]:
    return {**line.values, **chosen, "position": position}


def _refuse_offered(table: ReadTable, change: Change, revision: int, line: FileRow) -> None:
    if any(event.name in OFFERED and event.revision == revision for event in change.events):
        table.fault(
            line.number,
            f"{change.code} revision {revision} was already offered; give the lines a new revision",
        )


def _unknown_change(table: ReadTable, line: FileRow) -> None:
    what, first = f'unknown change "{line["change"]}"', Remedy("load_first", what="changes")
    table.fault(line.number, what, remedy=first)


def load_change_events(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add the events of a file."""
    return add_change_events(book, batch, read_input(book, file, columns.CHANGE_EVENTS), job)


def add_change_events(
    book: Book, batch: Batch, table: ReadTable, job: str, *, guarded: bool = False
) -> FileLoaded:
    """Add events of changes, in the order of their dates, with what they do to the baseline.

    A history that is loaded is taken as it was, and what an approval lacks is said. `guarded`
    refuses such an approval, as the commands that enter one by one do.
    """
    known = changes_of(book, job)
    for line in table.lines:
        if line["change"] and line["change"] not in known:
            _unknown_change(table, line)
        elif line["change"]:
            for fault in _particulars_astray(line, known[line["change"]].facts["change_basis"]):
                table.fault(line.number, fault)
    table.settle()
    approver = Approver(book, batch, job)
    short: list[Outcome] = []
    fresh = 0
    for line in sorted(table.lines, key=lambda each: each["day"]):
        earlier = known[line["change"]]
        row = _event_row(job, line, earlier)
        if not _stands(earlier, row):
            batch.append_row("change_event", row)
            fresh += 1
            known = changes_of(book, job)
            change = known[line["change"]]
            event = event_of(row)
            if _recorded(earlier, row):
                _still_legal(table, line, change)
                short += approver.follow_instruction(change, event)
            else:
                short += _apply(table, line, approver, (change, event))
                remarks = guards.remarks(book, job, change, event)
                if guarded:
                    guards.refuse(remarks)
                short += remarks
    loaded = WholesLoaded("change_event", fresh, len(table.lines) - fresh)
    return file_loaded(table, [loaded, *short])


def _particulars_astray(line: FileRow, basis: str) -> Iterator[str]:
    """Yield what a row says that does not belong to its event, or leaves out."""
    event = line["event"]
    yield from guards.strangers(line)
    if line["condition"] and event in APPROVALS:
        yield "a conditional acceptance is a counter-offer: enter counter_offer, then accepted"
    elif line["condition"] and event != "counter_offer":
        yield f"condition belongs to a counter_offer, not to {event}; leave it blank"
    if event == "time_decided" and line.is_blank("days_granted"):
        yield "days_granted is blank; fill in the days granted, 0 for none"
    if event == "value_agreed":
        if basis != "daywork":
            yield f"value_agreed is for daywork only, and {line['change']} is {basis}; leave it out"
        elif line.is_blank("agreed_value"):
            yield "agreed_value is blank; fill in the amount agreed"
        return
    for name, stored in (("agreed_value", "agreed_value"), ("agreed_hours", "agreed_ms")):
        if line[stored] is not None:
            yield f"{name} belongs to value_agreed, not to {event}; leave it blank"


def _event_row(job: str, line: FileRow, change: Change) -> dict[str, Any]:
    revision = line["revision"]
    if revision is None:
        newest = max(change.lines, default=1)
        same = [
            record["revision"]
            for record in change.records
            if record["event"] == line["event"] and record["day"] == line["day"]
        ]
        revision = same[0] if same else newest
    return {"job": job, **line.values, "revision": revision}


def _stands(change: Change, row: dict[str, Any]) -> bool:
    """Return whether the event is recorded already with all these particulars."""
    particulars = {name: value for name, value in row.items() if name != "job"}
    return any(_agrees(record, particulars) for record in change.records)


def _recorded(change: Change, row: dict[str, Any]) -> bool:
    """Return whether the event is recorded already, maybe with other particulars."""
    key = {name: row[name] for name in ("event", "day", "revision")}
    return any(_agrees(record, key) for record in change.records)


def _agrees(record: Mapping[str, object], values: Mapping[str, object]) -> bool:
    return all(record[name] == value for name, value in values.items())


def _still_legal(table: ReadTable, line: FileRow, change: Change) -> None:
    try:
        state_on(change.events, max(each.day for each in change.events))
    except IllegalMove as error:
        raise Faults([table.fault_at(line.number, f"{change.code}: {error}")]) from None


def _apply(
    table: ReadTable, line: FileRow, approver: Approver, moved: tuple[Change, Event]
) -> Sequence[Outcome]:
    change, event = moved
    _refuse_without_lines(table, line, change, event)
    earlier = [each for each in change.events if each != event]
    _still_legal(table, line, change)
    try:
        before = state_on(earlier, event.day)
    except IllegalMove as error:
        raise Faults([table.fault_at(line.number, f"{change.code}: {error}")]) from None
    if fault := guards.fault_of(change, event, before):
        raise Faults([table.fault_at(line.number, f"{change.code}: {fault}")])
    return approver.post(change, event, before)


def _refuse_without_lines(table: ReadTable, line: FileRow, change: Change, event: Event) -> None:
    if change.lacks_lines(event):
        what = f"{change.code} has no lines of revision {event.revision}"
        first = Remedy("load_first", what="change-lines")
        raise Faults([table.fault_at(line.number, what, remedy=first)])
