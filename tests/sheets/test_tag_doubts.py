"""Doubts about tags: time on a change before its request, one note tagged to two places."""

import pytest

from tests._stage import load
from tests.conftest import Yard
from tests.sheets._doubts import lines_doubted, messages, sheets
from tests.sheets.test_doubts import CHANGE


def test_time_before_a_change_was_requested_is_doubted(stage: Yard) -> None:
    """On the day of the request it is in order, on the day before it is not."""
    load(stage, "changes", CHANGE.replace("2026-03-02", "2026-03-04"))
    sheets(stage, *(f"date={day} booking_code=CR1" for day in ("2026-03-03", "2026-03-04")))

    assert lines_doubted(stage, "before_request") == [2]
    assert messages(stage, "before_request") == [
        "worker A1 has 4.00 h booked to STAGE CR1 on 2026-03-03, "
        "but the change was requested on 2026-03-04"
    ]


@pytest.mark.slow
def test_one_note_tagged_by_hand_to_two_places_is_doubted(stage: Yard) -> None:
    """Entries of the same note at one place are in order; at two they are one doubt."""
    sheets(stage, *(f"date=2026-03-0{day} note=bench" for day in (2, 3, 4)))
    why = ("--reason", "asked")
    stage.run("tag", "entries", "--note-contains", "bench", "--to", "RAIL", *why)
    before = messages(stage, "tags_disagree")
    stage.run("tag", "entries", "--day", "2026-03-04", "--to", "FRAME", *why)

    assert before == []
    assert messages(stage, "tags_disagree") == [
        'the note "bench" is tagged by hand to STAGE FRAME (1 entry) and to STAGE RAIL (2 entries)'
    ]
