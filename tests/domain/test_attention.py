"""When a change needs attention: hours used up, a decision waiting, a limit about to pass."""

from datetime import date

import pytest

from ledger.domain.attention import (
    ATTENTION,
    GRAVE,
    Attention,
    Levels,
    NoticeGiven,
    NoticeLimits,
    of_hours,
    of_notice,
    of_quotation,
    of_waiting,
    rank,
)

DAY = date(2026, 6, 30)


@pytest.mark.parametrize(
    ("booked", "priced", "expected"),
    [
        (79, 100, None),
        (80, 100, "near_agreed_hours"),
        (100, 100, "near_agreed_hours"),
        (101, 100, "over_agreed_hours"),
        (0, 0, None),
        (1, 0, "over_agreed_hours"),
    ],
)
def test_hours_are_near_or_over_those_priced(
    booked: int, priced: int, expected: str | None
) -> None:
    """From 80 percent on they are near, above 100 over; without any hours none are near."""
    assert of_hours(booked, priced, 80) == expected


# Aware on 2 June, 28 days: the last day is 30 June. Limits of forms: FIDIC 2017, 28 days for a
# notice of claim, given here as an input.
AWARE, LIMITS = date(2026, 6, 2), NoticeLimits(notice_days=28)
RECEIVED = NoticeLimits(notice_days=28, counted="received")
NOTICES = [
    ("nothing sent, the last day is far", [], LIMITS, date(2026, 6, 15), None),
    ("nothing sent, 14 days ahead", [], LIMITS, date(2026, 6, 16), ("notice_due", DAY)),
    ("nothing sent, on the last day", [], LIMITS, DAY, ("notice_due", DAY)),
    ("nothing sent, a day later", [], LIMITS, date(2026, 7, 1), ("notice_missed", DAY)),
    ("sent on the last day", [NoticeGiven(DAY)], LIMITS, date(2026, 7, 9), None),
    (
        "sent a day late",
        [NoticeGiven(date(2026, 7, 1))],
        LIMITS,
        date(2026, 7, 1),
        ("notice_late", DAY),
    ),
    ("sent later than the day", [NoticeGiven(DAY)], LIMITS, date(2026, 6, 29), ("notice_due", DAY)),
    (
        "aware earlier, as the notice says",
        [NoticeGiven(DAY, aware_on=date(2026, 6, 1))],
        LIMITS,
        DAY,
        ("notice_late", date(2026, 6, 29)),
    ),
    ("sent, not received", [NoticeGiven(DAY)], RECEIVED, DAY, ("notice_due", DAY)),
    (
        "sent in time, received late",
        [NoticeGiven(DAY, received_on=date(2026, 7, 2))],
        RECEIVED,
        date(2026, 7, 3),
        ("notice_late", DAY),
    ),
    (
        "the first of two counts",
        [NoticeGiven(AWARE), NoticeGiven(DAY)],
        LIMITS,
        date(2026, 7, 9),
        None,
    ),
    ("the contract sets nothing", [], NoticeLimits(), date(2027, 1, 1), None),
]


@pytest.mark.parametrize(
    ("notices", "limits", "day", "expected"), [n[1:] for n in NOTICES], ids=[n[0] for n in NOTICES]
)
def test_a_notice_is_due_missed_late_or_in_time(
    notices: list[NoticeGiven], limits: NoticeLimits, day: date, expected: tuple[str, date] | None
) -> None:
    """The limit runs in calendar days; the last day is still in time."""
    found = of_notice(AWARE, notices, limits, day, 14)

    assert found == (Attention(*expected) if expected else None)


# Three weeks for a quotation, as NEC4 has it, given here as an input.
@pytest.mark.parametrize(
    ("day", "expected"),
    [
        (date(2026, 6, 8), None),
        (date(2026, 6, 9), Attention("quotation_due", date(2026, 6, 23))),
        (date(2026, 6, 24), Attention("quotation_missed", date(2026, 6, 23))),
    ],
)
def test_a_price_for_instructed_work_is_due(day: date, expected: Attention | None) -> None:
    """It runs from the instruction."""
    assert of_quotation(AWARE, NoticeLimits(quotation_days=21), day, 14) == expected


@pytest.mark.parametrize(
    ("sent_on", "needed_by", "expected"),
    [
        (date(2026, 6, 16), None, None),
        (date(2026, 6, 15), None, Attention("decision_waiting", date(2026, 6, 29))),
        (date(2026, 6, 15), date(2026, 6, 29), Attention("decision_overdue", date(2026, 6, 29))),
        (date(2026, 6, 29), date(2026, 6, 30), Attention("decision_due", date(2026, 6, 30))),
        (date(2026, 6, 29), date(2026, 7, 15), None),
        (None, date(2026, 7, 14), Attention("decision_due", date(2026, 7, 14))),
    ],
)
def test_a_decision_is_overdue_waits_or_is_due(
    sent_on: date | None, needed_by: date | None, expected: Attention | None
) -> None:
    """The owner's own day comes before the reminder, which is after more than 14 days."""
    assert of_waiting(sent_on, needed_by, Levels(), DAY) == expected


def test_the_worst_ranks_first() -> None:
    """Of several kinds the worst decides; a change without any comes last."""
    kinds = ["days_not_stated", "notice_due", "price_lapsed"]

    assert rank(kinds) == ATTENTION.index("notice_due")
    assert rank([]) == len(ATTENTION)
    assert set(ATTENTION) > GRAVE
