"""What of the time on daywork is left once agreed time is taken out of it."""

import pytest

from ledger.changes.daywork_lines import WorkedHours

Rated = dict[tuple[str, str | None, int], int]
OLD, NEW = ("plater", None, 590_000), ("plater", None, 600_000)
LEAD, WELDER = ("plater", "lead", 670_000), ("welder", None, 610_000)


@pytest.mark.parametrize(
    ("worked", "agreed", "left"),
    [
        ({OLD: 10, WELDER: 4}, {OLD: 6}, {OLD: 4, WELDER: 4}),
        ({OLD: 10}, {OLD: 10}, {}),
        ({OLD: 10}, {}, {OLD: 10}),
        # Agreed at the rate before: its hours are taken out at the new one, which they now have.
        ({NEW: 10}, {OLD: 7}, {NEW: 3}),
        ({OLD: 5, NEW: 5}, {OLD: 6}, {NEW: 4}),
        # Each grade by itself as long as it has hours.
        ({NEW: 5, LEAD: 3}, {LEAD: 2}, {NEW: 5, LEAD: 1}),
        # More was agreed than is booked now: nothing is left, and no other trade is touched.
        ({NEW: 5, WELDER: 2}, {NEW: 8}, {WELDER: 2}),
    ],
)
def test_agreed_time_is_taken_out_at_its_own_rate_first(
    worked: Rated, agreed: Rated, left: Rated
) -> None:
    """Hours of a trade that are agreed at another rate are not listed as open a second time."""
    actual = WorkedHours(rated=worked).less(WorkedHours(rated=agreed))

    assert {key: ms for key, ms in actual.rated.items() if ms} == left
