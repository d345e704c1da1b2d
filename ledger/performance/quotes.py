"""Quotes: what lines of a change cost, are charged at, take and delay; nothing is written."""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from typing import cast

from ledger.baseline.postings import is_frozen
from ledger.changes.costs import CostRates, Costs, costs_of, profit_omitted
from ledger.changes.requests import Change, changes_of
from ledger.changes.rows import KnownPriceLine, KnownRequest
from ledger.changes.standing import Standing, with_sums_left, yard_known, yard_standing
from ledger.domain.change_life import state_on
from ledger.domain.pricing import NOTHING, YardPriceLine
from ledger.domain.quoting import (
    WEEKS_OF_PACE,
    KeyDateReach,
    Margin,
    TradeHours,
    weeks_taken,
    whole_days,
)
from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import calendar_of, job_card
from ledger.performance.basis import Scope
from ledger.performance.key_dates import full_days_of
from ledger.performance.measure import Measured
from ledger.store.book import Book

OF_A_SUM = "provisional_sum"


@dataclass(frozen=True)
class QuoteAsked:
    """What is quoted: a change as it is priced, or lines of a file, of a change or of none yet."""

    name: str
    change: str | None
    rows: tuple[KnownPriceLine, ...] | None = None
    basis: str = "fixed_price"


@dataclass(frozen=True)
class Quote:
    """What one set of lines comes to; what is not defined is None, with the reason.

    `price` is what is charged, before `sums_omitted` of provisional sums, which the contract sum
    has already. `profit_omitted` is what its omissions are priced at less what they cost. `finish`
    is the job's at the present pace, `finish_before` without it. `counted` says that its hours are
    in the forecast already, so that it takes no more days.
    """

    name: str
    change: str | None
    basis: str
    lines: tuple[YardPriceLine, ...]
    price: Decimal | None
    sums_omitted: Decimal
    costs: Costs
    profit_omitted: Decimal | None
    hours: tuple[TradeHours, ...]
    days: int | None
    finish: date | None
    finish_before: date | None
    key_dates: tuple[KeyDateReach, ...]
    counted: bool
    undefined: dict[str, str]

    @property
    def moves_sum_by(self) -> Decimal | None:
        """What the contract sum moves by if it is approved."""
        return None if self.price is None else self.price + self.sums_omitted

    @property
    def margin(self) -> Margin | None:
        cost = self.costs.total
        return None if self.price is None or cost is None else Margin(self.price, cost)


class Quoting:
    """A job on a day, as quotes are made of it."""

    def __init__(self, book: Book, job: str, day: date) -> None:
        self.book, self.job, self.day = book, job, day
        self.card = job_card(book, job)
        self.known = yard_known(book, job, day)
        self.calendar = calendar_of(book, job)
        self.rates = CostRates(book)
        self.changes = changes_of(book, job)

    @cached_property
    def span(self) -> tuple[date, date]:
        """Return the first and the last day of the last four weeks that ended by the day."""
        end = self.calendar.week_end(self.day)
        last = end if end == self.day else end - timedelta(days=7)
        return last - timedelta(days=7 * WEEKS_OF_PACE - 1), last

    @cached_property
    def pace(self) -> dict[str, tuple[Fraction, Fraction]]:
        """Return the hours booked a week to the job, in ms, and the people, by trade: means."""
        first, last = self.span
        rows = self.book.rows("performance/people_by_week", job=self.job, first=first, last=last)
        means: dict[str, tuple[Fraction, Fraction]] = {}
        for trade, _, _, ms, _ in rows:
            if trade is not None and ms:
                hours, people = means.get(trade, (Fraction(0), Fraction(0)))
                means[trade] = (
                    hours + Fraction(int(ms), WEEKS_OF_PACE),
                    people + Fraction(1, WEEKS_OF_PACE),
                )
        return means

    @cached_property
    def days_a_week(self) -> Fraction:
        """Return the mean of the full days of a week over the last four, else of the job."""
        worked = self.calendar.full_days(*self.span)
        return worked / WEEKS_OF_PACE if worked else full_days_of(self.card.working_week)

    @cached_property
    def measured(self) -> Measured | None:
        """Return the job measured in hours, None before its estimate is frozen."""
        frozen = is_frozen(self.book, self.job)
        return Measured(self.book, self.job, Scope(self.day)) if frozen else None

    @property
    def finish_before(self) -> date:
        """Return the finish as it is forecast without the change, else as it is planned.

        A planned finish that has passed is the day itself.
        """
        forecast = self.measured.time.forecast_finish if self.measured else None
        return forecast or max(self.card.planned_finish, self.day)

    def quotes(self, asked: Sequence[QuoteAsked]) -> tuple[Quote, ...]:
        """Return a quote of each that is asked for."""
        return tuple(map(self.quote, asked))

    def quote(self, asked: QuoteAsked) -> Quote:
        """Return what one set of lines comes to."""
        standing = self._standing(asked)
        undefined: dict[str, str] = {}
        lines, price = _priced(standing, undefined)
        rows = standing.lines
        costs = costs_of(self.known.prices, self.rates, rows, self.day)
        if costs.missing:
            undefined["cost"] = "; ".join(costs.missing)
        counted = standing.approved
        hours = self._hours(rows)
        days = 0 if counted else self._days(hours, undefined)
        finish = self._later(days, undefined)
        undefined |= _without_percent(price, costs.total)
        return Quote(
            asked.name,
            asked.change,
            standing.basis,
            lines,
            price,
            sum((line.amount for line in lines if line.price_kind == OF_A_SUM), NOTHING),
            costs,
            profit_omitted(lines, self.rates, self.day),
            hours,
            days,
            finish,
            self.finish_before,
            tuple(self._key_dates([] if counted else rows)),
            counted,
            undefined,
        )

    def _standing(self, asked: QuoteAsked) -> Standing:
        """Return the lines as a change stands with them, and what is left of provisional sums."""
        known = self.changes.get(asked.change or "")
        others = [yard_standing(each, self.known) for each in self.changes.values()]
        if asked.rows is not None:
            mine = self._draft(asked, known)
            others = [each for each in others if each.change.code != mine.change.code]
        else:
            if known is None or not known.lines:
                code, lines = asked.change or "", Remedy("lines_to_quote")
                raise Refused("quote_without_lines", job=self.job, change=code, remedy=lines)
            mine = next(each for each in others if each.change.code == known.code)
            mine = replace(mine, revision=mine.revision or max(known.lines))
            others = [each for each in others if each.change.code != known.code]
        return with_sums_left([*others, mine])[-1]

    def _draft(self, asked: QuoteAsked, known: Change | None) -> Standing:
        """Return lines of a file as a draft, priced on the day, of a change or of none yet."""
        code = asked.change or asked.name
        facts: dict[str, object] = {"change_basis": asked.basis}
        if known is not None:
            facts.update(known.facts)
        # Of a change that is none yet nothing else is asked.
        draft = Change(code, cast(KnownRequest, facts | {"requested_on": self.day}))
        draft.lines[1] = list(asked.rows or ())
        return Standing(draft, state_on([], self.day), self.known, "requested", 1)

    def _hours(self, rows: Iterable[KnownPriceLine]) -> tuple[TradeHours, ...]:
        added: dict[str, int] = defaultdict(int)
        omitted: dict[str, int] = defaultdict(int)
        for row in rows:
            if row["price_kind"] == "labour" and row["ms"] is not None:
                for trade, ms in self.known.prices.shares(row):
                    (added if ms >= 0 else omitted)[trade] += abs(ms)
        nobody = Fraction(0), Fraction(0)
        return tuple(
            TradeHours(trade, added[trade], omitted[trade], *self.pace.get(trade, nobody))
            for trade in dict.fromkeys([*added, *omitted])
        )

    def _days(self, hours: Sequence[TradeHours], undefined: dict[str, str]) -> int | None:
        weeks = weeks_taken(hours)
        if weeks is not None:
            return whole_days(weeks, self.days_a_week)
        absent = [each.trade for each in hours if each.weeks is None]
        first, last = self.span
        undefined["days"] = f"no hours of {', '.join(absent)} booked from {first} to {last}"
        return None

    def _later(self, days: int | None, undefined: dict[str, str]) -> date | None:
        """Return the finish some days later, None where that is unknown or beyond the calendar."""
        before, calendar = self.finish_before, self.calendar
        finish = None if days is None else calendar.day_after_full_days(before, Fraction(days))
        if days is not None and finish is None:
            undefined["finish"] = "it is beyond the job's calendar"
        return finish

    def _key_dates(self, rows: Sequence[KnownPriceLine]) -> Iterator[KeyDateReach]:
        """Yield the key dates still to come, with the hours to go before each."""
        if self.measured is None:
            return
        cells = self.measured.cells.values()
        weekly = sum((ms for ms, _ in self.pace.values()), Fraction(0))
        for each in json.loads(self.card.key_dates):
            day = date.fromisoformat(each["date"])
            if day <= self.day:
                continue
            to_go = sum(
                max(0, cell.forecast - cell.ac) for cell in cells if cell.part in each["packages"]
            )
            working = self.calendar.full_days(self.day + timedelta(days=1), day)
            reach = int(weekly * working / self.days_a_week)
            added = _ms_before(day, each["packages"], rows)
            yield KeyDateReach(each["name"], day, to_go, added, reach)


def _priced(
    standing: Standing, undefined: dict[str, str]
) -> tuple[tuple[YardPriceLine, ...], Decimal | None]:
    try:
        lines = standing.price_lines
        return lines, sum((each.amount for each in lines if each.price_kind != OF_A_SUM), NOTHING)
    except Refused as error:
        undefined["price"] = str(error.fields.get("why", error))
        return (), None


def _without_percent(price: Decimal | None, cost: Decimal | None) -> dict[str, str]:
    """Return why a margin has no percentage of the price or of the cost."""
    reasons = {}
    if price is not None and cost is not None:
        if price <= 0:
            reasons["margin_percent_of_price"] = "the price is not above 0"
        if cost <= 0:
            reasons["mark_up_percent_on_cost"] = "the cost is not above 0"
    return reasons


def _ms_before(day: date, packages: Sequence[str], rows: Iterable[KnownPriceLine]) -> int:
    """Return the hours, in ms, that lines add before a key date less those they take out of it.

    Lines that are planned to start after it, and omissions from other packages, do not touch it.
    """
    labour = ((row, row["ms"] or 0) for row in rows if row["price_kind"] == "labour")
    return sum(
        ms
        for row, ms in labour
        if (ms < 0 and row["work_package"] in packages)
        or (ms >= 0 and not (row["planned_start"] and row["planned_start"] > day))
    )
