"""What stands outside a job's row: changes that are not approved, and the contingency left."""

from collections.abc import Iterator
from dataclasses import dataclass

from ledger.outcomes import Reason, because
from ledger.performance.measure import Measured
from ledger.performance.methods import Method

INSTRUCTED, NOT_INSTRUCTED, CONTINGENCY = "instructed", "not_instructed", "contingency"
KEYS = (INSTRUCTED, NOT_INSTRUCTED, CONTINGENCY)

NOTHING_EARNED = because("unapproved_earns_nothing")
NO_WORK = because("contingency_earns_nothing")
AT_PRICE = Method("latest_price", because("added_at_latest_price"))
STOPPED = Method("as_booked", because("booked_as_stopped"))
NOT_ORDERED = Method("as_booked", because("booked_as_not_instructed"))
LEFT = Method("contingency_left", because("contingency_not_drawn"))


@dataclass(frozen=True)
class OutsideRow:
    """One row: added budget, AC and forecast in whole units, and how it is forecast.

    `why` says why it has no indices.
    """

    key: str
    budget: int
    actual: int
    forecast: int
    methods: tuple[Method, ...]
    why: Reason


def outside_rows(measured: Measured) -> list[OutsideRow]:
    """Return the rows that, with those of the job, foot to the anticipated final.

    A change is instructed once an instruction was ever given, stopped or not; not instructed is
    every other one that is not approved, declined and withdrawn ones included.
    """
    codes = measured.unapproved.codes
    ordered = [code for code in codes if measured.states[code].instruction != "none"]
    others = [code for code in codes if code not in ordered]
    left = measured.contingency.left
    return [
        _of_changes(measured, INSTRUCTED, ordered),
        _of_changes(measured, NOT_INSTRUCTED, others),
        OutsideRow(CONTINGENCY, left, 0, left, (LEFT,), NO_WORK),
    ]


def _of_changes(measured: Measured, key: str, codes: list[str]) -> OutsideRow:
    amounts = [measured.unapproved.amounts(code) for code in codes]
    budget, actual, forecast = (sum(each[place] for each in amounts) for place in range(3))
    methods = tuple(dict.fromkeys(_methods(measured, key, codes)))
    return OutsideRow(key, budget, actual, forecast, methods, NOTHING_EARNED)


def _methods(measured: Measured, key: str, codes: list[str]) -> Iterator[Method]:
    if key == NOT_INSTRUCTED:
        yield NOT_ORDERED
        return
    stopped = [measured.states[code].instruction == "stopped" for code in codes]
    if not all(stopped) or not codes:
        yield AT_PRICE
    if any(stopped):
        yield STOPPED
