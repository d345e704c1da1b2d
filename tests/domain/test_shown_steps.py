"""Steps and marks as shown add up, on screen and on a page alike."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from ledger.domain.allocation import to_places
from ledger.domain.overrun import AGREED, BORNE_BY, STEPS, shown_marks, shown_steps

PER = 3_600_000
AMOUNTS = st.integers(min_value=-(10**12), max_value=10**12)


@given(st.lists(AMOUNTS, min_size=9, max_size=9), st.lists(AMOUNTS, min_size=4, max_size=4))
def test_steps_and_marks_shown_add_up(parts: list[int], marks: list[int]) -> None:
    """The agreed steps add to their sum, all to the anticipated final, marks to the growth."""
    amounts = dict(zip(STEPS, [*parts, sum(parts)], strict=True))
    growth = sum(parts[1:])
    borne = dict(zip(BORNE_BY, [*marks, growth - sum(marks)], strict=True))
    steps = shown_steps(amounts, PER)
    shown = shown_marks(borne, steps, PER)
    agreed = sum(amounts[step] for step in AGREED)

    assert sum(steps[step] for step in AGREED) == to_places(agreed, 2, PER)
    assert steps["anticipated_final"] == to_places(sum(parts), 2, PER)
    assert sum(steps[step] for step in STEPS[:-1]) == steps["anticipated_final"]
    assert sum(shown.values()) == steps["anticipated_final"] - steps["original_budget"]
    assert all(abs(steps[s] * PER - amounts[s]) < 2 * PER // 100 for s in STEPS)


def test_steps_that_were_a_hundredth_short_add_up() -> None:
    """Two forecasts of 0.005 h over are shown as 0.01 and 0.00 under a final of 100.01."""
    amounts = dict.fromkeys(STEPS, 0) | {"original_budget": 100 * PER}
    half = PER // 200
    amounts |= {"over_under_on_variations": half, "over_under_on_original_work": half}
    amounts["anticipated_final"] = 100 * PER + 2 * half
    steps = shown_steps(amounts, PER)

    assert steps["anticipated_final"] == Decimal("100.01")
    assert sum(steps[step] for step in STEPS[:-1]) == Decimal("100.01")
