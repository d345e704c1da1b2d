"""The owner's view model holds nothing it may not hold, and adds up."""

import types
import typing
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import date
from decimal import Decimal

import pytest

from ledger.reports.designs import DESIGNS
from ledger.reports.owner.invoice_view import JobCreditNote, JobInvoice
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_check import disagreements
from ledger.reports.owner.variations_rows import Headline, OpenMatter
from tests.reports import _landing as landing
from tests.reports._landing import HOUR, HOURS, LANDING, SUMS, hours_rows, sum_rows

# Whatever an owner can be shown: the statement, and every kind of document.
INVOICES = (JobInvoice, JobCreditNote)
OWNER_VIEWS = [kind for kind in DESIGNS if kind.__module__.startswith("ledger.reports.owner.")]
ALLOWED = {str, int, bool, Decimal, date}
FORBIDDEN = {
    *("cost", "costs", "margin", "pay", "wage", "salary", "gross", "profit", "rate", "percent"),
    *("note", "notes", "internal", "worker", "crew", "entry", "entries", "jobs"),
}
# What an invoice has by EN 16931 and an owner must see: the rate of tax of a line (BT-152), the
# rate of exchange of the tax in the yard's currency, and what is written to the owner (BT-22).
OF_INVOICES = ["invoice.lines.rate", "invoice.accounting.rate", "invoice.notes", "lines.tax_rate"]


def fields_below(kind: type, path: str = "") -> Iterator[tuple[str, type]]:
    """Yield every field of a view model down to the plain types, with its path."""
    hints = typing.get_type_hints(kind)
    for field in fields(kind):
        for plain in plain_types(hints[field.name]):
            place = f"{path}{field.name}"
            if is_dataclass(plain):
                yield from fields_below(plain, f"{place}.")
            else:
                yield place, plain


def plain_types(hint: typing.Any) -> Iterator[type]:
    """Yield the types in a tuple of any length, an option, or the type itself."""
    if typing.get_origin(hint) in {tuple, types.UnionType}:
        for part in typing.get_args(hint):
            if part not in (Ellipsis, types.NoneType):
                yield from plain_types(part)
    else:
        yield hint


def test_no_field_could_hold_what_is_not_the_owners() -> None:
    """No field of an owner's view is named for cost, margin, pay, workers, notes or other jobs.

    Of an invoice the rates of tax and of exchange and its notes are the owner's.
    """
    names = [place for kind in OWNER_VIEWS for place, _ in fields_below(kind)]
    actual = [place for place in names if FORBIDDEN & set(place.replace(".", "_").split("_"))]

    assert "changes.price" in names
    assert actual == [place for _ in INVOICES for place in OF_INVOICES]


def test_every_field_is_of_a_plain_type() -> None:
    """An owner's view holds texts, whole numbers, decimals and dates, nothing that opens up."""
    every = [field for kind in OWNER_VIEWS for field in fields_below(kind)]
    actual = {place: kind for place, kind in every if kind not in ALLOWED}

    assert actual == {}


@pytest.mark.parametrize(
    "view",
    [LANDING, landing.without_requests(), landing.without_overrun()],
    ids=["landing", "without requests", "without overrun"],
)
def test_views_that_add_up_are_accepted(view: OwnerVariations) -> None:
    """A statement whose parts add to its totals has nothing to complain about."""
    actual = list(disagreements(view))

    assert actual == []


def hours_with(**steps: int) -> dict[str, object]:
    return {"hours": hours_rows(HOURS | steps)}


def sums_with(**steps: Decimal) -> dict[str, object]:
    return {"sums": sum_rows(SUMS | steps)}


LINE = LANDING.headline
assert LINE is not None
FIRST, *OTHERS = LANDING.changes
DETAIL, *DETAILS = LANDING.details


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            hours_with(adjusted_estimate=6_343 * HOUR),
            "adjusted estimate is 22834800000 ms, its steps add to 22838400000",
        ),
        (
            # 61.25 less of 6,831: 6,769.75 hours.
            hours_with(rework=0),
            "anticipated final is 24591600000 ms, its steps add to 24371100000",
        ),
        (
            sums_with(adjusted_contract_sum=Decimal("655840.00")),
            "adjusted sum is 655840.00, its steps add to 655840.50",
        ),
        (
            sums_with(anticipated_final_sum=Decimal("655840.50")),
            "anticipated final sum is 655840.50, its steps add to 677820.50",
        ),
        (
            {"headline": Headline(991 * HOUR, 0, 504 * HOUR, LINE.not_charged_ms, 0)},
            "paid, not charged and undecided add to 2749800000 ms",
        ),
        (
            {"headline": replace(LINE, more_than_estimated_ms=990 * HOUR)},
            (
                "the headline says 3564000000 ms more, the steps say 3567600000; "
                "paid, not charged and undecided add to 3567600000 ms"
            ),
        ),
        (
            {"not_charged": LANDING.not_charged[1:]},
            # 118 1/3 of 259 5/6 hours are missing: 141.5 are left.
            "reasons not charged add to 509400000 ms, the headline says 935400000",
        ),
        (
            {"headline": None, "hours": LANDING.hours[1:3]},
            "hours not charged are listed although the owner is not shown how hours run",
        ),
        (
            {"changes": (replace(FIRST, hours_ms=411 * HOUR), *OTHERS)},
            "approved changes add to 1810800000 ms, the steps to 1814400000",
        ),
        (
            {"changes": (replace(FIRST, price=Decimal("38650.01")), *OTHERS)},
            (
                "approved changes add to 43440.51, the steps of the sum to 43440.50; "
                "V-03: its price is 38650.01, its lines add to 38650.00"
            ),
        ),
        (
            {"awaiting": LANDING.awaiting[::-1]},
            "requests awaiting a decision do not begin with the oldest",
        ),
        (
            {"awaiting": LANDING.awaiting[:1]},
            (
                "requests awaiting a decision are not those listed as submitted; "
                "requests awaiting a decision add to 0, the sum says 5895.00"
            ),
        ),
        (
            {"changes": (replace(FIRST, state="priced"), *OTHERS)},
            (
                'state "priced" is unknown; use one of requested, submitted, lapsed, approved, '
                "declined, "
                "disputed, counter_offer, withdrawn"
            ),
        ),
        (
            {"details": LANDING.details[:8]},
            (
                "changes are V-03, V-05, V-08, V-09, V-11, V-12, V-14, V-15, V-16, "
                "their details V-03, V-05, V-08, V-09, V-11, V-12, V-14, V-15"
            ),
        ),
        (
            {"details": (replace(DETAIL, lines=DETAIL.lines[1:]), *DETAILS)},
            # 38,650 - 18,104 = 20,546
            "V-03: its price is 38650.00, its lines add to 20546.00",
        ),
        (
            {"details": (replace(DETAIL, history=DETAIL.history[::-1]), *DETAILS)},
            "V-03: its history is not in the order of its days",
        ),
        (
            {"details": (replace(DETAIL, origin="weather"), *DETAILS)},
            'origin "weather" is unknown; use one of owner, yard, change_in_law, '
            "unforeseen_condition",
        ),
        (
            {"sums": LANDING.sums[:2]},
            (
                "steps of the sum are contract_sum, approved_variations, not contract_sum, "
                "approved_variations, omissions, daywork_against_estimate, adjusted_contract_sum, "
                "daywork_unsigned, time_beyond_estimate, instructed_at_latest_price, "
                "anticipated_final_sum, submitted_not_added"
            ),
        ),
    ],
)
def test_views_that_do_not_add_up_are_never_made(changed: dict[str, object], expected: str) -> None:
    """A statement that disagrees with itself cannot come into being."""
    with pytest.raises(AssertionError) as caught:
        replace(LANDING, **changed)  # type: ignore[arg-type]

    assert str(caught.value) == expected


OPEN = LANDING.open_matters[0]


@pytest.mark.parametrize(
    ("matters", "expected"),
    [
        ((), "open matters are [], the changes have [('V-14', 'no_price')]"),
        (
            (replace(OPEN, change="V-11", matter="disputed"),),
            "open matters are [('V-11', 'disputed')], the changes have [('V-14', 'no_price')]",
        ),
        (
            (replace(OPEN, indicative=False),),
            "V-14: open at other hours or another price than it is listed with",
        ),
        (
            (OPEN, replace(OPEN, change="V-03", matter="daywork_unsigned")),
            "V-03: daywork that is not to be signed is open; "
            "daywork to be signed adds to 899.00, the step of the sum is 0.00",
        ),
    ],
)
def test_open_matters_are_those_of_the_changes(
    matters: tuple[OpenMatter, ...], expected: str
) -> None:
    """No matter is listed that the changes do not have, and none is left out."""
    with pytest.raises(AssertionError) as caught:
        replace(LANDING, open_matters=matters)

    assert str(caught.value) == expected


OPEN_BY_STATE = [
    ("disputed", "none", "disputed"),
    ("disputed", "stopped", "disputed"),
    ("counter_offer", "none", "counter_offer"),
    ("lapsed", "instructed", "lapsed"),
    ("declined", "instructed", "declined"),
    ("withdrawn", "instructed", "withdrawn"),
    ("submitted", "stopped", "stopped_with_price"),
    ("submitted", "instructed", ""),
    ("submitted", "none", ""),
    ("lapsed", "none", ""),
    ("declined", "none", ""),
    ("approved", "stopped", ""),
]


@pytest.mark.parametrize(("state", "instruction", "expected"), OPEN_BY_STATE)
def test_what_is_open_follows_from_price_and_instruction(
    state: str, instruction: str, expected: str
) -> None:
    """An instruction keeps a change open whatever becomes of its price, until it is approved."""
    row = landing.change("V-1", "Cleats", state=state, instruction=instruction, price=Decimal(9))

    assert row.open_matter == expected
    assert row.is_ordered == (instruction == "instructed")


def test_an_instructed_request_must_be_in_the_final_sum() -> None:
    """What was instructed before its price is counted exactly once in the anticipated final sum."""
    changes = tuple(
        replace(row, price=Decimal("100.00")) if row.change == "V-14" else row
        for row in LANDING.changes
    )
    with pytest.raises(AssertionError) as caught:
        replace(LANDING, changes=changes)

    assert str(caught.value) == (
        "instructed requests add to 22080.00, the step of the sum is 21980.00; "
        "open matters are [('V-14', 'no_price')], the changes have []; "
        "V-14: its price is 100.00, its lines add to 0"
    )
