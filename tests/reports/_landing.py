"""An invented statement: a timber landing for a ferry, half built, with requests in every state."""

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from ledger.domain.pricing import PriceLine
from ledger.reports.identity import StampShown, Yard
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import (
    AwaitingRow,
    ChangeDetail,
    ChangeRow,
    CompletionDates,
    Headline,
    HistoryRow,
    HoursRow,
    Job,
    NotChargedRow,
    OpenMatter,
    SumRow,
)
from ledger.reports.owner.wording import CAUTION, how_to_read
from ledger.reports.owner.words import CHANGE_STEPS

RECORDED_AT = datetime(2026, 9, 7, 15, 4, 5, tzinfo=UTC)
HOUR = 3_600_000


def change(code: str, title: str, **given: Any) -> ChangeRow:
    """Return a fixed price change, submitted and not instructed unless something else is given."""
    usual: dict[str, Any] = {
        "state": "submitted",
        "state_on": date(2026, 8, 20),
        "instruction": "none",
        "change_basis": "fixed_price",
        "estimated": False,
        "hours_ms": None,
        "price": None,
        "days": None,
    }
    return ChangeRow(change=code, title=title, **(usual | given))


CHANGES = (
    change(
        "V-03",
        "Second mooring dolphin at the downstream end",
        state="approved",
        state_on=date(2026, 4, 14),
        hours_ms=412 * HOUR,
        price=Decimal("38650.00"),
        days=6,
    ),
    change(
        "V-05",
        "Handrail in larch instead of steel",
        state="approved",
        state_on=date(2026, 5, 11),
        hours_ms=-(86 * HOUR),
        price=Decimal("-9420.00"),
        days=0,
    ),
    change(
        "V-08",
        "Broken piles found at the old landing drawn and replaced",
        state="approved",
        state_on=date(2026, 6, 2),
        change_basis="daywork",
        estimated=True,
        hours_ms=160 * HOUR,
        price=Decimal("14210.50"),
        days=3,
    ),
    change(
        "V-09",
        "Bollard moved after it was set at the wrong place",
        state="approved",
        state_on=date(2026, 6, 9),
        change_basis="no_charge",
        hours_ms=18 * HOUR,
        price=Decimal("0.00"),
        days=0,
    ),
    change(
        "V-11",
        "Waiting shelter with bench on the landing",
        state_on=date(2026, 8, 3),
        instruction="instructed",
        hours_ms=204 * HOUR,
        price=Decimal("21980.00"),
        days=4,
    ),
    change(
        "V-12",
        "Deck boards grooved across for grip in frost",
        state_on=date(2026, 8, 20),
        hours_ms=72 * HOUR + 1_800_000,
        price=Decimal("5895.00"),
        days=2,
    ),
    change(
        "V-14",
        "Lamp posts and cable duct along the approach",
        state="requested",
        state_on=date(2026, 8, 27),
        instruction="instructed",
    ),
    change(
        "V-15",
        "Winch house roof in shingles",
        state="declined",
        state_on=date(2026, 7, 17),
        hours_ms=96 * HOUR,
        price=Decimal("8870.00"),
        days=3,
    ),
    change(
        "V-16",
        "Life ring stands, four",
        state="lapsed",
        state_on=date(2026, 8, 1),
        hours_ms=10 * HOUR,
        price=Decimal("1240.00"),
    ),
)
AWAITING = (
    AwaitingRow(
        "V-11",
        "Waiting shelter with bench on the landing",
        date(2026, 8, 3),
        date(2026, 9, 30),
        date(2026, 8, 31),
        True,
        204 * HOUR,
        Decimal("21980.00"),
        days=4,
        planned_start=date(2026, 8, 17),
    ),
    AwaitingRow(
        "V-12",
        "Deck boards grooved across for grip in frost",
        date(2026, 8, 20),
        date(2026, 10, 15),
        date(2026, 9, 18),
        False,
        72 * HOUR + 1_800_000,
        Decimal("5895.00"),
        days=2,
        planned_start=date(2026, 9, 2),
    ),
)


# 15.5 h worked at 58.00
OPEN = (
    OpenMatter(
        "V-14",
        "Lamp posts and cable duct along the approach",
        "no_price",
        date(2026, 7, 30),
        15 * HOUR + 1_800_000,
        Decimal("899.00"),
        indicative=True,
    ),
)


def labour(trade: str, hours: str, rate: str, amount: str, described: str = "") -> PriceLine:
    """Return a line of labour; its amount is hours x rate."""
    ms = int(Decimal(hours) * HOUR)
    return PriceLine("labour", described, trade, ms, None, "", Decimal(rate), Decimal(amount))


def bought(
    kind: str, described: str, quantity: str, unit: str, price: tuple[str, str]
) -> PriceLine:
    """Return a line by quantity; its amount is quantity x unit price."""
    rate, amount = map(Decimal, price)
    return PriceLine(kind, described, "", None, Decimal(quantity), unit, rate, amount)


LINES = {
    "V-03": (
        # 292 x 62 + 120 x 58 = 18,104 + 6,960; 14 x 640 = 8,960; 1 x 4,626 = 38,650 together
        labour("piling", "292", "62.0000", "18104.00", "Drive and cap the dolphin"),
        labour("carpentry", "120", "58.0000", "6960.00", "Fenders and rubbing strips"),
        bought("material", "Larch piles, 9 m", "14.000000", "pile", ("640.0000", "8960.00")),
        bought("plant", "Barge with crane", "1.000000", "", ("4626.0000", "4626.00")),
    ),
    "V-05": (
        # -152 x 61 + 66 x 58 = -9,272 + 3,828; 88.6 x 12.5 = 1,107.50; -1 x 5,083.50 = -9,420
        labour("steelwork", "-152", "61.0000", "-9272.00", "Steel handrail not made"),
        labour("carpentry", "66", "58.0000", "3828.00", "Larch handrail"),
        bought("material", "Larch, planed", "88.600000", "m", ("12.5000", "1107.50")),
        bought("material", "Steel tube not bought", "-1.000000", "", ("5083.5000", "-5083.50")),
    ),
    "V-08": (
        # 160 x 62 = 9,920; 1 x 4,290.50 = 14,210.50 together
        labour("piling", "160", "62.0000", "9920.00"),
        bought(
            "plant", "Barge with crane, by the day", "3.000000", "day", ("1430.1667", "4290.50")
        ),
    ),
    "V-09": (PriceLine("labour", "", "carpentry", 18 * HOUR, None, "", None, Decimal("0.00")),),
    "V-11": (
        # 204 x 58 = 11,832; 10,148 = 21,980 together
        labour("carpentry", "204", "58.0000", "11832.00"),
        bought(
            "material", "Frames, boarding and bench", "1.000000", "", ("10148.0000", "10148.00")
        ),
    ),
    "V-12": (
        # 72.5 x 58 = 4,205; 1 x 1,690 = 5,895 together
        labour("carpentry", "72.5", "58.0000", "4205.00"),
        bought("plant", "Grooving machine, two weeks", "1.000000", "", ("1690.0000", "1690.00")),
    ),
    "V-15": (
        labour("carpentry", "96", "58.0000", "5568.00"),
        bought("material", "Larch shingles", "42.000000", "m2", ("78.6190", "3302.00")),
    ),
    "V-16": (
        labour("carpentry", "10", "58.0000", "580.00"),
        bought("material", "Stand with box", "4.000000", "piece", ("165.0000", "660.00")),
    ),
}
DESCRIPTIONS = {
    "V-03": "A second dolphin, 14 m below the landing, so that the ferry lies safe at low water.",
    "V-11": "An open shelter against the north wind, with a bench for six.",
}


def event(
    name: str, day: date, row: ChangeRow | None = None, reference: str = "", **given: Any
) -> HistoryRow:
    """Return an event; of the price shown for a change when it is given."""
    revision, price = (1, row.price) if row else (None, None)
    return HistoryRow(name, day, revision, price, reference, **given)


def history_of(row: ChangeRow) -> tuple[HistoryRow, ...]:
    """Return a history that leads to where the change stands."""
    assert row.state_on is not None
    events = [event("requested", date(2026, 3, 2))]
    if row.instruction == "instructed":
        events.append(event("instructed", date(2026, 7, 30), None, "Letter of 30 July"))
    if row.price is not None:
        until = date(2026, 9, 30) if row.state == "submitted" else None
        sent = min(row.state_on, date(2026, 8, 20))
        events.append(event("submitted", sent, row, f"Offer {row.change}", valid_until=until))
    if row.state in {"approved", "declined"}:
        days = row.days if row.state == "approved" else None
        events.append(event(row.state, row.state_on, row, f"Minutes {row.state_on}", days=days))
    return tuple(sorted(events, key=lambda each: each.day))


def detail_of(row: ChangeRow) -> ChangeDetail:
    return ChangeDetail(
        change=row.change,
        description=DESCRIPTIONS.get(row.change, ""),
        origin="unforeseen_condition" if row.change == "V-08" else "owner",
        requested_on=date(2026, 3, 2),
        decision_needed_by=date(2026, 8, 31) if row.change == "V-11" else None,
        days_requested=row.days,
        revision=None if row.price is None else 1,
        worked_ms=131 * HOUR if row.change_basis == "daywork" else None,
        lines=LINES.get(row.change, ()),
        history=history_of(row),
    )


HOURS = {
    # 5,840 + 590 - 86 = 6,344
    "original_budget": 5_840 * HOUR,
    "approved_variations": 590 * HOUR,
    "omissions": -86 * HOUR,
    "adjusted_estimate": 6_344 * HOUR,
    # 6,344 + 24.5 + 231.75 + 61.25 + 118 1/3 + 43.5 + 7 2/3 = 6,831
    "over_under_on_variations": 24 * HOUR + 1_800_000,
    "unapproved_changes": 231 * HOUR + 2_700_000,
    "rework": 61 * HOUR + 900_000,
    "over_under_on_original_work": 118 * HOUR + 1_200_000,
    "non_productive": 43 * HOUR + 1_800_000,
    "untagged": 7 * HOUR + 2_400_000,
    "anticipated_final": 6_831 * HOUR,
}
SUMS = {
    # 612,400.00 + 52,300.00 - 9,420.00 + 560.50 = 655,840.50; + 21,980.00 = 677,820.50
    "contract_sum": Decimal("612400.00"),
    "approved_variations": Decimal("52300.00"),
    "omissions": Decimal("-9420.00"),
    "daywork_against_estimate": Decimal("560.50"),
    "adjusted_contract_sum": Decimal("655840.50"),
    "daywork_unsigned": Decimal("0.00"),
    "time_beyond_estimate": Decimal("0.00"),
    "instructed_at_latest_price": Decimal("21980.00"),
    "anticipated_final_sum": Decimal("677820.50"),
    "submitted_not_added": Decimal("5895.00"),
}
NOT_CHARGED = {
    # 118 1/3 + 6.5 + 61.25 + 43.5 + 18 + 12.25 = 259 5/6
    "over_under_on_original_work": 118 * HOUR + 1_200_000,
    "over_under_on_variations": 6 * HOUR + 1_800_000,
    "rework": 61 * HOUR + 900_000,
    "non_productive": 43 * HOUR + 1_800_000,
    "no_charge_variations": 18 * HOUR,
    "declined_or_withdrawn": 12 * HOUR + 900_000,
}
# 991 more: 504 paid, 259 5/6 not charged, 227 1/6 undecided.
HEADLINE = Headline(
    more_than_estimated_ms=991 * HOUR,
    asked_for_ms=742 * HOUR + 900_000,
    paid_ms=504 * HOUR,
    not_charged_ms=259 * HOUR + 3_000_000,
    undecided_ms=227 * HOUR + 600_000,
)


def hours_rows(steps: dict[str, int]) -> tuple[HoursRow, ...]:
    return tuple(HoursRow(step, ms) for step, ms in steps.items())


def sum_rows(steps: dict[str, Decimal]) -> tuple[SumRow, ...]:
    return tuple(SumRow(step, amount) for step, amount in steps.items())


LANDING = OwnerVariations(
    yard=Yard(
        "Osterby Timber and Boat Works", ("Slipway Road 4", "8310 Osterby", "Office 55 01 20 30")
    ),
    job=Job(
        "LANDING",
        "Timber landing for the Osterby ferry",
        "Osterby Ferry Guild",
        "EUR",
        date(2026, 1, 19),
    ),
    status_date=date(2026, 9, 6),
    known_at=StampShown(57, "9f2d41c07be35a886610d4f3c2a917be58e04d7ac63b9912f08e5d6a7b1c3e24"),
    remade_by="fairhours --known-at 57 report variations --job LANDING --status-date 2026-09-06 "
    "--out variations.pdf",
    rehearsal=False,
    completion=CompletionDates(date(2026, 10, 30), 9, date(2026, 11, 12)),
    headline=HEADLINE,
    hours=hours_rows(HOURS),
    sums=sum_rows(SUMS),
    changes=CHANGES,
    details=tuple(map(detail_of, CHANGES)),
    awaiting=AWAITING,
    open_matters=OPEN,
    not_charged=tuple(NotChargedRow(step, ms) for step, ms in NOT_CHARGED.items()),
    how_to_read=how_to_read("fixed_price", whole=True),
    caution=CAUTION,
)


def without_requests() -> OwnerVariations:
    """Return the statement of a job on which nothing was asked for and all goes by the estimate."""
    hours = dict.fromkeys(HOURS, 0)
    hours |= dict.fromkeys(
        ("original_budget", "adjusted_estimate", "anticipated_final"), 5_840 * HOUR
    )
    sums = dict.fromkeys(SUMS, Decimal("0.00"))
    totals = ("contract_sum", "adjusted_contract_sum", "anticipated_final_sum")
    sums |= dict.fromkeys(totals, Decimal("612400.00"))
    return replace(
        LANDING,
        completion=CompletionDates(date(2026, 10, 30), 0, date(2026, 10, 30)),
        headline=Headline(0, 0, 0, 0, 0),
        hours=hours_rows(hours),
        sums=sum_rows(sums),
        changes=(),
        details=(),
        awaiting=(),
        open_matters=(),
        not_charged=(),
    )


def without_overrun() -> OwnerVariations:
    """Return the statement for an owner who is not shown how the hours run."""
    steps = tuple(row for row in LANDING.hours if row.step in CHANGE_STEPS)
    return replace(LANDING, headline=None, hours=steps, not_charged=())
