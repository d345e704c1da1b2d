"""The share that each technique earns, and EV through changes of the budget."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.domain.earned_value import (
    BudgetChange,
    EffortShare,
    Measurement,
    ShareAt,
    Technique,
    earned,
    earned_steps,
    is_finished,
    share_of,
)
from tests.conftest import slow_beyond

DAY = date(2026, 3, 2)


def on(offset: int, **facts: Any) -> Measurement:
    """A measurement `offset` days after the first, recorded in batch 10 + offset."""
    return Measurement(DAY + timedelta(days=offset), (10 + offset, 1), **facts)


def budget(offset: int, ms: int, batch: int = 1, cost: int | None = 0) -> BudgetChange:
    return BudgetChange(DAY + timedelta(days=offset), batch, ms, cost)


PERCENT = Technique("percent_complete")
UNITS = Technique("units_complete", quantity=Decimal(40))
FIXED = Technique("fixed_formula", start_share=Fraction(1, 4))
WEIGHTED = Technique(
    "weighted_milestone", weights=(("piles", Fraction(1, 2)), ("beams", Fraction(1, 2)))
)
STARTED = DAY + timedelta(days=1)

SHARES = [
    (PERCENT, [], Fraction(0)),
    (PERCENT, [on(0, percent=Decimal(30)), on(1, percent=Decimal(20))], Fraction(1, 5)),
    (PERCENT, [on(0, percent=Decimal(30)), on(9, percent=Decimal(90))], Fraction(3, 10)),
    (UNITS, [on(0, quantity_done=Decimal(10))], Fraction(1, 4)),
    (
        UNITS,
        [on(0, quantity_done=Decimal(10), quantity_at_completion=Decimal(50))],
        Fraction(1, 5),
    ),
    (UNITS, [on(0, quantity_done=Decimal(44))], Fraction(1)),  # 44 of 44
    (WEIGHTED, [on(0, milestone="piles")], Fraction(1, 2)),
    (WEIGHTED, [on(0, milestone="piles"), on(1, milestone="piles")], Fraction(1, 2)),
    (WEIGHTED, [on(0, milestone="piles"), on(1, milestone="beams")], Fraction(1)),
    (FIXED, [], Fraction(0)),
    (FIXED, [on(1, started=STARTED)], Fraction(1, 4)),
    (FIXED, [on(1, started=STARTED), on(3, finished=STARTED)], Fraction(1)),
]


@pytest.mark.parametrize(("technique", "measures", "share"), SHARES)
def test_a_technique_earns_its_share(
    technique: Technique, measures: list[Measurement], share: Fraction
) -> None:
    """The share earned by the fifth day follows from the measurements dated by then."""
    assert share_of(technique, measures, DAY + timedelta(days=4)) == share


def test_finished_counts_from_the_day_it_is_dated() -> None:
    """A part is finished once a measurement dated by then says so."""
    measures = [on(3, finished=DAY + timedelta(days=2))]

    assert not is_finished(measures, DAY + timedelta(days=2))
    assert is_finished(measures, DAY + timedelta(days=3))


def at(offset: int) -> date:
    return DAY + timedelta(days=offset)


def test_what_is_earned_stays_when_hours_are_taken_out() -> None:
    """After a cut the earned hours stay, and the rest is earned by the rest of the share."""
    shares = ShareAt(UNITS, [on(1, quantity_done=Decimal(10)), on(5, quantity_done=Decimal(25))])
    changes = [budget(0, 8000), budget(2, -1000, batch=12)]

    # 8000 x 1/4 = 2000; then 2000 + (7000 - 2000) x (25/40 - 1/4)/(3/4) = 4500
    assert [earned(shares, changes, at(day)).earned_ms for day in (1, 2, 5)] == [2000, 2000, 4500]
    assert earned(shares, changes, at(5)).budget_ms == 7000


def test_percent_is_of_the_budget_in_force_when_it_was_measured() -> None:
    """A percent measured before an addition stays of the budget of that day."""
    measured = ShareAt(PERCENT, [on(1, percent=Decimal(50))])
    again = ShareAt(PERCENT, [on(1, percent=Decimal(50)), on(30, percent=Decimal(50))])
    changes = [budget(0, 1000), budget(2, 600, batch=20)]

    assert earned(measured, changes, at(40)).earned_ms == 500
    assert earned(again, changes, at(40)).earned_ms == 800


def test_a_budget_counts_from_its_day_only() -> None:
    """Neither budget nor EV has a change before the day it counts from."""
    shares = ShareAt(PERCENT, [on(0, percent=Decimal(100))])
    changes = [budget(0, 1000), budget(5, 500, batch=20)]

    assert earned(shares, changes, at(4)).budget_ms == 1000
    assert earned(shares, changes, at(5)).budget_ms == 1500
    assert earned(shares, changes, at(5)).earned_ms == 1000


PERCENTS = st.lists(st.integers(0, 100), min_size=1, max_size=5)
CHANGES = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 10**9)), max_size=4)


@given(PERCENTS, CHANGES, st.integers(0, 40), st.sampled_from([PERCENT, UNITS]))
def test_ev_lies_between_nothing_and_the_budget(
    percents: list[int], added: list[tuple[int, int]], day: int, technique: Technique
) -> None:
    """Whatever is measured and added, EV is never below nothing nor above the budget."""
    name = "percent" if technique is PERCENT else "quantity_done"
    facts = [on(7 * place, **{name: Decimal(value)}) for place, value in enumerate(percents)]
    changes = [budget(0, 10**6), *(budget(offset, ms, 30) for offset, ms in added)]
    found = earned(ShareAt(technique, facts), changes, at(day))

    assert 0 <= found.earned_ms <= found.budget_ms


@given(PERCENTS, CHANGES)
def test_all_measured_is_all_earned(percents: list[int], added: list[tuple[int, int]]) -> None:
    """When the last percent is 100 after the last change, EV is the budget."""
    facts = [on(place, percent=Decimal(value)) for place, value in enumerate(percents)]
    last = on(35, percent=Decimal(100))
    changes = [budget(0, 10**6), *(budget(offset, ms, 30) for offset, ms in added)]
    found = earned(ShareAt(PERCENT, [*facts, last]), changes, at(40))

    assert found.earned_ms == found.budget_ms == 10**6 + sum(ms for _, ms in added)


WAYS = st.sampled_from(
    [
        PERCENT,
        UNITS,
        Technique("units_complete", quantity=Decimal(70)),
        Technique("fixed_formula", start_share=Fraction(1, 4)),
        None,  # A level of effort.
    ]
)


def way(technique: Technique | None, facts: list[Measurement]) -> ShareAt:
    """Return how a part is measured: by a technique, or as 10 ms planned a day."""
    if technique is None:
        return EffortShare({at(day): 10 for day in range(1, 60)})
    return ShareAt(technique, facts)


@pytest.mark.parametrize("examples", slow_beyond(1, [20, 400]))
def test_what_is_earned_stays_whatever_changes(examples: int) -> None:
    """A change of budget, or of the way of measuring, leaves EV of its day and before as it was."""

    @settings(max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck))
    @given(PERCENTS, st.lists(st.tuples(st.integers(1, 30), st.integers(0, 500), WAYS), max_size=4))
    def run(percents: list[int], moves: list[tuple[int, int, Technique | None]]) -> None:
        facts = [
            on(7 * n, percent=Decimal(v), quantity_done=Decimal(v), started=at(7 * n))
            for n, v in enumerate(percents)
        ]
        changes = [budget(0, 1000)]
        for batch, (day, ms, technique) in enumerate(sorted(moves, key=lambda m: m[0]), start=30):
            made = [fact for fact in facts if fact.day <= at(day)]
            first = ShareAt(PERCENT, made)
            before = [earned(first, changes, at(d), at(day)).earned_ms for d in range(day + 1)]
            shares = way(technique, made)
            changes.append(BudgetChange(at(day), batch, ms, None, shares))
            after = [earned(first, changes, at(d), at(day)).earned_ms for d in range(day + 1)]

            assert after == before

    run()


def late_omission(technique: str, measured_in: int) -> int:
    """EV in ms of 100 h, measured 80 % on the 10th, 10 h taken out as of the 8th in batch 7."""
    measure = Measurement(
        date(2026, 3, 10), (measured_in, 1), percent=Decimal(80), quantity_done=Decimal(8)
    )
    shares = ShareAt(Technique(technique, quantity=Decimal(10)), [measure])
    changes = [
        BudgetChange(date(2026, 3, 1), 1, 100 * 3_600_000, None),
        BudgetChange(date(2026, 3, 8), 7, -10 * 3_600_000, None),
    ]
    return earned(shares, changes, date(2026, 3, 12)).earned_ms


@pytest.mark.parametrize("technique", ["percent_complete", "units_complete"])
def test_a_measure_recorded_before_a_late_omission_keeps_its_budget(technique: str) -> None:
    """80 % recorded before an omission of an earlier day is 80 % of the budget it was made on."""
    known, unknown = late_omission(technique, 5), late_omission(technique, 9)

    assert known == 80 * 3_600_000  # 80 % of 100 h
    assert unknown == 72 * 3_600_000  # 80 % of the 90 h in force on the 10th


@given(
    st.sampled_from([PERCENT, UNITS, WEIGHTED, FIXED]),
    st.lists(st.tuples(st.integers(0, 20), st.integers(0, 100)), max_size=8),
    st.lists(st.tuples(st.integers(0, 25), st.integers(-40, 90)), min_size=1, max_size=3),
    st.lists(st.tuples(st.integers(1, 20), WAYS), max_size=2),
)
def test_ev_over_time_is_ev_of_each_day(
    technique: Technique,
    said: list[tuple[int, int]],
    moves: list[tuple[int, int]],
    ways: list[tuple[int, Technique | None]],
) -> None:
    """Between the days on which it changes EV stays, and on them it is what `earned` gives.

    So it is where the way of measuring changes.
    """
    facts = [
        on(day, percent=Decimal(p), quantity_done=Decimal(p), milestone="piles")
        if p % 3
        else on(day, started=DAY + timedelta(days=day), percent=Decimal(p))
        for day, p in said
    ]
    changes = [budget(0, 100_003, cost=77_777_777)]
    changes += [budget(day, ms, batch=5 + day, cost=ms * 30) for day, ms in moves[1:]]
    changes += [BudgetChange(at(day), 40, 0, 0, way(then, facts)) for day, then in ways]
    shares, last = ShareAt(technique, facts), DAY + timedelta(days=18)
    steps = earned_steps(shares, changes, last)
    by_day = {day: (ms, cost) for day, ms, cost in zip(*steps, strict=True)}
    before = earned(shares, changes, DAY - timedelta(days=1), last)
    now = before.earned_ms, before.earned_cost
    told, expected = [], []
    for day in (DAY + timedelta(days=n) for n in range(19)):
        now = by_day.get(day, now)
        told.append(now)
        reckoned = earned(shares, changes, day, last)
        expected.append((reckoned.earned_ms, reckoned.earned_cost))

    assert told == expected
    unpriced: list[int | None] = [None] * len(steps.days)
    assert earned_steps(shares, changes, last, priced=False) == steps._replace(costs=unpriced)
