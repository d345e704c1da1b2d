"""Changes entered one by one: the same facts, through the same checks, as their files load."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from ledger.changes.requests import Change, changes_of
from ledger.changes.rows import KnownEvent
from ledger.domain.change_life import OFFERED
from ledger.domain.codes import code_of
from ledger.domain.numbering import next_code
from ledger.errors import Refused, Remedy
from ledger.inputs import columns
from ledger.inputs.change_files import add_change_events, add_change_lines, add_changes
from ledger.inputs.codes import setting_codes
from ledger.inputs.files import keep_file
from ledger.inputs.outcomes import RowsLoaded, WholesLoaded
from ledger.inputs.quoted import quoted_as
from ledger.jobs.jobs import job_card
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.small_tables import typed_table

FIRST_NUMBER = "CR1"
# What the owner answers is about the price that was sent last.
ANSWERS = frozenset({"approved", "declined", "disputed", "counter_offer"})
Facts = Mapping[str, str]


@dataclass(frozen=True)
class ChangeInput:
    """What is typed of a change: its job and number, facts under the heads of the files, files.

    A number left out is the next one of the job.
    """

    job: str
    change: str | None
    facts: Facts = field(default_factory=dict)
    attach: Sequence[Path] = ()


@dataclass(frozen=True)
class Entered(Outcome):
    """A change that was entered or moved on: its number, what is said of it, files attached.

    `as_before` says that it was recorded so already.
    """

    job: str
    change: str
    remarks: tuple[Outcome, ...]
    attached: tuple[str, ...]
    as_before: bool


def next_number(book: Book, job: str) -> str:
    """Return the number that the next change of a job takes, in the scheme of those it has."""
    taken = {code for code, _ in book.rows("jobs/codes_of_job", job=job)} | {*setting_codes(book)}
    return next_code(list(changes_of(book, job)), taken, FIRST_NUMBER)


def enter_request(book: Book, batch: Batch, entry: ChangeInput) -> Entered:
    """Add a change request.

    Raises: Refused when the number is there already; Faults for what does not fit.
    """
    job = _job(book, entry)
    code = code_of(entry.change or "") or next_number(book, job)
    if code in changes_of(book, job):
        anew = Remedy("request_anew")
        raise Refused("change_known", job=job, change=code, remedy=anew)
    day = entry.facts.get("requested_on") or str(today(book, batch))
    row = {**entry.facts, "change": code, "requested_on": day}
    table = typed_table([row], columns.CHANGES)
    loaded = add_changes(book, batch, table, job)
    where = {"event": None, "day": table.lines[0]["requested_on"], "revision": None}
    attached = _attach(book, batch, (job, code), where, entry.attach)
    return Entered(job, code, _remarks(loaded.outcomes), attached, as_before=False)


def enter_price(book: Book, batch: Batch, entry: ChangeInput, lines: Sequence[Facts]) -> Entered:
    """Price a change: by lines, which make a new revision once the last was offered, or as loaded.

    Raises: Refused when there is no such change; Faults for what does not fit.
    """
    job, change = _change(book, entry)
    revision = entry.facts.get("revision") or str(_next_revision(change, new=bool(lines)))
    remarks: list[Outcome] = []
    before = sum(batch.counts.values())
    if lines:
        named = {"change": change.code, "revision": revision}
        title = change.facts["title"] or change.code
        rows = [{"description": title, **line, **named} for line in lines]
        table = typed_table(rows, columns.CHANGE_LINES)
        remarks += _remarks(add_change_lines(book, batch, table, job).outcomes)
    facts = {**entry.facts, "revision": revision}
    priced = enter_event(book, batch, ChangeInput(job, change.code, facts, entry.attach), "priced")
    remarks += priced.remarks
    return replace(priced, remarks=tuple(remarks), as_before=sum(batch.counts.values()) == before)


def enter_event(book: Book, batch: Batch, entry: ChangeInput, event: str) -> Entered:
    """Record what happened to a change, with what it does to the baseline.

    A price sent as a quotation takes from it what is not typed. Raises: Refused when there is no
    such change, an approval lacks what it needs, or a quotation says otherwise; Faults for what
    does not fit, with the moves that are legal.
    """
    job, change = _change(book, entry)
    row = {**entry.facts, "change": change.code, "event": event}
    row["date"] = entry.facts.get("date") or str(today(book, batch))
    if event in ANSWERS and not row.get("revision"):
        sent = [each.revision for each in change.events if each.name == "submitted"]
        row["revision"] = str(sent[-1]) if sent else ""
    is_sent = event == "submitted"
    quoted = quoted_as(book, job, change.code, row.get("reference")) if is_sent else None
    before = sum(batch.counts.values())
    table = typed_table([quoted.completed(row) if quoted else row], columns.CHANGE_EVENTS)
    if quoted:
        quoted.refuse_other(table.lines[0].values)
    loaded = add_change_events(book, batch, table, job, guarded=True)
    recorded = _recorded(changes_of(book, job)[change.code], event, table.lines[0]["day"])
    where = {name: recorded[name] for name in ("event", "day", "revision")}
    attached = _attach(book, batch, (job, change.code), where, entry.attach)
    as_before = sum(batch.counts.values()) == before
    return Entered(job, change.code, _remarks(loaded.outcomes), attached, as_before)


def today(book: Book, batch: Batch) -> date:
    """Return the day on which a batch is recorded, in the yard's zone."""
    zone = ZoneInfo(book.setting("yard.zone", "UTC"))
    return batch.recorded_at.astimezone(zone).date()


def _job(book: Book, entry: ChangeInput) -> str:
    job = code_of(entry.job)
    job_card(book, job)
    return job


def _change(book: Book, entry: ChangeInput) -> tuple[str, Change]:
    job, code = _job(book, entry), code_of(entry.change or "")
    known = changes_of(book, job)
    if code not in known:
        raise change_unknown(job, entry.change or "")
    return job, known[code]


def change_unknown(job: str, change: str) -> Refused:
    """Return the refusal of a change that the job has not."""
    listed = Remedy("changes_listed", job=job)
    return Refused("change_unknown", job=job, change=change, remedy=listed)


def _next_revision(change: Change, *, new: bool) -> int:
    """Return the revision that is priced: the newest, or one more when that was offered."""
    newest = max(change.lines, default=1)
    offered = any(e.name in OFFERED and e.revision >= newest for e in change.events)
    return newest + 1 if new and offered else newest


def _recorded(change: Change, event: str, day: date) -> KnownEvent:
    """Return the newest record of an event of a day."""
    return [each for each in change.records if (each["event"], each["day"]) == (event, day)][-1]


def _remarks(outcomes: Sequence[Outcome]) -> tuple[Outcome, ...]:
    """Return what is said beside the counts of a load's rows."""
    return tuple(each for each in outcomes if not isinstance(each, (RowsLoaded, WholesLoaded)))


def _attach(
    book: Book,
    batch: Batch,
    of_change: tuple[str, str],
    where: Mapping[str, Any],
    files: Sequence[Path],
) -> tuple[str, ...]:
    """Keep files by their content, attached to a request or to one of its events; return names.

    A file that is attached there already is not attached twice.
    """
    job, change = of_change
    known = {
        (row["change"], row["event"], row["day"], row["revision"], row["sha256"])
        for row in book.records("changes/attachments_known", job=job)
    }
    attached = []
    for path in files:
        digest = keep_file(batch, path)
        key = (change, where["event"], where["day"], where["revision"], digest)
        if key not in known:
            known.add(key)
            row = {"job": job, "change": change, **where, "name": path.name, "sha256": digest}
            batch.append_row("attachment", row)
            attached.append(path.name)
    return tuple(attached)
