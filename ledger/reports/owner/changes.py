"""The changes that an owner sees: which, in what state, at what price, and what was decided."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from ledger.changes import standing
from ledger.changes.daywork_lines import RATE_PLACES
from ledger.changes.daywork_place import estimate_of
from ledger.changes.daywork_terms import DayworkTerms
from ledger.changes.priced_lines import bare
from ledger.changes.requests import Change
from ledger.changes.rows import KnownEvent
from ledger.changes.standing import Standing, with_sums_left
from ledger.domain.allocation import to_places
from ledger.domain.change_life import APPROVALS, OFFERED, ChangeState
from ledger.domain.daywork import MARKS
from ledger.domain.pricing import NOTHING, PriceLine
from ledger.reports.owner.additions import addition_words, percent_words
from ledger.reports.owner.variations_rows import (
    AwaitingRow,
    ChangeDetail,
    ChangeRow,
    DayworkDetail,
    HistoryRow,
)
from ledger.reports.owner.wordings import keep_sent_wordings
from ledger.reports.owner.words import EVENTS
from ledger.store.book import Book

ONE_DAY = timedelta(days=1)
GRANTING = APPROVALS | {"counter_offer", "time_decided"}


@dataclass(frozen=True)
class OwnerChangesKnown(standing.StandingBasis):
    """What the changes are shown by; `shows_worked` whether hours worked are, of all of them."""

    shows_worked: bool


@dataclass(frozen=True)
class OwnerChange(Standing):
    """A change that the owner sees, with its state on the day and the revision shown, if any."""

    known: OwnerChangesKnown

    @property
    def days_requested(self) -> int | None:
        """The days asked for; of a price that was not sent none have come to the owner."""
        return None if self.revision is None else super().days_requested

    @property
    def lines_shown(self) -> tuple[PriceLine, ...]:
        """The lines of the price as the owner sees them: percentages only if they are agreed.

        Else additions are spread over what they are added to, which shows its selling price.
        """
        if self.revision is None:
            return ()
        if self.known.prices.shows_percentages(self.change, self.revision):
            return tuple(
                replace(bare(line), agreed_addition=addition_words(line))
                for line in self.price_lines
            )
        priced = self.known.prices.priced(self.change, self.state, self.revision)
        return (*priced.selling, *map(bare, self.sums_omitted))

    def as_agreed(self, lines: Sequence[PriceLine]) -> tuple[PriceLine, ...]:
        """Return lines of daywork as the lines of its price are shown, to be compared with them.

        At prime cost with the percentage in words where the owner may see it, else as sold.
        """
        prices, revision = self.known.prices, self.revision
        if revision is None or not prices.shows_percentages(self.change, revision):
            return tuple(lines)
        return tuple(_at_prime_cost(line, self.daywork_terms) for line in lines)


def _at_prime_cost(line: PriceLine, terms: DayworkTerms) -> PriceLine:
    """Return a line by its rate before the percentage that its amount holds."""
    percent = terms.shown_percent(line.price_kind)
    if line.unit_price is None or not percent:
        return line
    prime = to_places(Fraction(line.unit_price) / (1 + Fraction(percent) / 100), RATE_PLACES)
    return replace(line, unit_price=prime, agreed_addition=percent_words(percent))


def shown_changes(
    book: Book, job: str, day: date, changes: dict[str, Change], *, time_charge: bool
) -> list[OwnerChange]:
    """Return those of the changes that have come to the owner by a day, in their order.

    Hours worked are shown of daywork, and on a job that is paid by time.
    """
    of_job = standing.yard_known(book, job, day)
    known_facts = (day, of_job.prices, of_job.net_ms, of_job.worked_ms, of_job.daywork)
    known = OwnerChangesKnown(*known_facts, time_charge, is_final=of_job.is_final)
    keep_sent_wordings(book, job, day, changes)
    states = [(change, change.state(day)) for change in changes.values()]
    standings = [
        _show(change, state, known) for change, state in states if _told(change, state, day)
    ]
    return with_sums_left(standings)


def _told(change: Change, state: ChangeState, day: date) -> bool:
    """Whether the change has come to the owner: asked for by the owner, submitted or instructed."""
    ordered = state.ordered_by is not None or state.instruction != "none"
    reached_owner = state.submitted_revision is not None or ordered or state.approved
    asked = change.facts["origin"] == "owner" and change.facts["requested_on"] <= day
    return bool(reached_owner or asked)


def _show(change: Change, state: ChangeState, known: OwnerChangesKnown) -> OwnerChange:
    price_state = state.offered_price(known.day)
    if price_state == "approved":
        return OwnerChange(change, state, known, price_state, state.approved_revision)
    if price_state == "priced":  # A price that the yard has not sent yet.
        return OwnerChange(change, state, known, "requested", None)
    return OwnerChange(change, state, known, price_state, state.submitted_revision)


def change_row(standing: OwnerChange) -> ChangeRow:
    """Return the change as a row of the list."""
    facts, state = standing.change.facts, standing.state
    return ChangeRow(
        change=standing.change.code,
        title=facts["title"],
        state=standing.price_state,
        state_on=_state_on(standing),
        instruction="awaiting" if state.awaiting else state.instruction,
        change_basis=facts["change_basis"],
        estimated=standing.estimated,
        hours_ms=standing.hours_ms,
        price=standing.amount,
        days=standing.days,
        capped=standing.capped,
        instructed_by=(state.awaiting.person or "") if state.awaiting else "",
        days_decided=state.days_decided is not None and not standing.approved,
        days_open=standing.days_open,
    )


def _state_on(standing: OwnerChange) -> date | None:
    state = standing.state
    if standing.price_state == "lapsed":
        until = state.valid_until[standing.revision or 0]
        return until + ONE_DAY if until else None
    if standing.price_state == "withdrawn":
        return max(e.day for e in standing.change.events if e.name == "withdrawn")
    if standing.price_state == "requested":
        day: date = standing.change.facts["requested_on"]
        return day
    dated = state.dated.get(standing.revision or 0, {}).get(standing.price_state)
    of_any = [e.day for e in standing.change.events if e.name == standing.price_state]
    return dated or max((day for day in of_any if day <= standing.known.day), default=None)


def change_detail(standing: OwnerChange) -> ChangeDetail:
    """Return what the change is, its price line by line, and its history."""
    facts, code = standing.change.facts, standing.change.code
    shows_worked = standing.known.shows_worked or facts["change_basis"] == "daywork"
    return ChangeDetail(
        change=code,
        description=facts["description"] or "",
        owner_texts=standing.owner_texts,
        origin=facts["origin"],
        requested_on=facts["requested_on"],
        decision_needed_by=facts["decision_needed_by"],
        days_requested=standing.days_requested,
        revision=standing.revision,
        worked_ms=standing.known.worked_ms.get(code, 0) if shows_worked else None,
        lines=standing.lines_shown,
        history=tuple(_history(standing)),
        agreed_value=standing.agreed_value,
        agreed_ms=standing.state.value_agreed.agreed_ms if standing.state.value_agreed else None,
        daywork=_daywork(standing),
        not_agreed=_not_agreed(standing),
        cap=_cap(standing),
    )


def _not_agreed(standing: OwnerChange) -> tuple[PriceLine, ...]:
    """Return what was done on daywork to date and no sheet agrees; nothing once its value is."""
    ordered = standing.approved or standing.state.ordered_by or standing.state.instruction != "none"
    if not standing.estimated or not ordered:
        return ()
    lines = standing.known.daywork.left_lines(standing.change.code, standing.daywork_terms)
    return standing.as_agreed(lines)


def _cap(standing: OwnerChange) -> Decimal | None:
    """Return what capped daywork may come to: its estimate, what it takes out apart."""
    if not standing.capped or not standing.estimated or standing.revision is None:
        return None
    priced = standing.known.prices.priced(standing.change, standing.state, standing.revision)
    return estimate_of(priced.selling).amount


def _daywork(standing: OwnerChange) -> DayworkDetail | None:
    """Return what sheets agree of daywork; None while its estimate alone stands in the sum."""
    value, sheets = standing.daywork, _agreed_and_recorded(standing)
    if standing.basis != "daywork" or not standing.estimated:
        return None
    if sheets is None and not (value and standing.state.complete):
        return None
    if value is None:
        return sheets
    return replace(
        sheets or DayworkDetail((), 0, value.agreed, value.rest),
        agreed_ms=value.agreed_ms,
        agreed=value.agreed,
        rest=value.rest,
        taken_out=value.omitted,
        above_cap=value.above_cap,
        in_sum=True,
    )


def _agreed_and_recorded(standing: OwnerChange) -> DayworkDetail | None:
    """Return what the sheets of a change have, whatever its price; None where there is none."""
    daywork, code = standing.known.daywork, standing.change.code
    sheets = [row for row in daywork.sheets if row["change"] == code]
    if not sheets:
        return None
    agreed, recorded = (
        tuple(row["daywork_sheet"] for row in sheets if row["mark"] == mark) for mark in MARKS
    )
    lines = standing.as_agreed(daywork.agreed_lines(code, standing.daywork_terms))
    return DayworkDetail(
        agreed_on=agreed,
        agreed_ms=sum(line.hours_ms or 0 for line in lines),
        agreed=sum((line.amount for line in lines), NOTHING),
        rest=NOTHING,
        lines=lines,
        recorded_on=recorded if daywork.has_witnessed(code) else (),
        recorded_ms=daywork.witnessed_ms[code],
        in_sum=False,
    )


def _history(standing: OwnerChange) -> Iterator[HistoryRow]:
    """Yield what happened by the day, oldest first; the yard's own pricing is left out."""
    facts = standing.change.facts
    events = [
        _happened(standing, record)
        for record in standing.change.records
        if record["event"] in EVENTS and record["day"] <= standing.known.day
    ]
    asked = facts["requested_on"]
    requested = [HistoryRow("requested", asked, None, None, "")] * (asked <= standing.known.day)
    yield from sorted([*requested, *events, *_lapse(standing)], key=lambda row: row.day)


def _lapse(standing: OwnerChange) -> Iterator[HistoryRow]:
    """Yield that the price shown has lapsed, which nobody records."""
    day = _state_on(standing)
    if standing.price_state == "lapsed" and day:
        yield HistoryRow("lapsed", day, standing.revision, None, "")


def _happened(standing: OwnerChange, record: KnownEvent) -> HistoryRow:
    revision = record["revision"] or 1
    offered = {"submitted", "approved"} & standing.state.dated.get(revision, {}).keys()
    about = record["event"] in OFFERED and bool(offered)
    return HistoryRow(
        event=_event_told(standing, record),
        day=record["day"],
        revision=revision if about else None,
        price=_price_told(standing, record, revision) if about else _agreed(standing, record),
        reference=record["reference"] or "",
        valid_until=record["valid_until"] if record["event"] == "submitted" else None,
        days=record["days_granted"] if record["event"] in GRANTING else None,
    )


def _event_told(standing: OwnerChange, record: KnownEvent) -> str:
    """Return what happened: an order of somebody who may not give it is received, not given."""
    if record["event"] != "instructed":
        return str(record["event"])
    orders = {event.day: event for event in standing.change.events if event.name == "instructed"}
    return "instructed" if orders[record["day"]].listed else "instruction_received"


def _agreed(standing: OwnerChange, record: KnownEvent) -> Decimal | None:
    return standing.agreed_value if record["event"] == "value_agreed" else None


def _price_told(standing: OwnerChange, record: KnownEvent, revision: int) -> Decimal | None:
    """Return the price that an event is about; what the owner counters with is not recorded."""
    return None if record["event"] == "counter_offer" else standing.price_of(revision).net


def awaiting(standings: Iterable[OwnerChange]) -> tuple[AwaitingRow, ...]:
    """Return the submitted prices that wait for a decision, oldest first."""
    rows = [_awaiting(each) for each in standings if each.price_state == "submitted"]
    return tuple(sorted(rows, key=lambda row: (row.submitted_on, row.change)))


def _awaiting(each: OwnerChange) -> AwaitingRow:
    facts, revision = each.change.facts, each.revision
    assert revision is not None
    assert each.price is not None
    starts = [line["planned_start"] for line in each.lines if line["planned_start"]]
    return AwaitingRow(
        change=each.change.code,
        title=facts["title"],
        submitted_on=each.state.dated[revision]["submitted"],
        valid_until=each.state.valid_until.get(revision),
        decision_needed_by=facts["decision_needed_by"],
        instructed=each.instructed,
        hours_ms=each.hours_ms or 0,
        price=each.price.net,
        days=each.days_requested,
        planned_start=min(starts, default=None),
        complete=each.state.complete,
        rough=each.state.rough.get(revision, False),
    )
