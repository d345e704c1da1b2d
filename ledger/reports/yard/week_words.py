"""The lines of a week in words, the same on the screen and on paper."""

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from typing import cast

from ledger.domain.counting import counted
from ledger.domain.overrun import STEP_TITLES
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.yard.week import Value, WeekRemark

LABELS = {
    "hours": "Hours",
    "to_date": "To date",
    "sheets": "Sheets",
    "doubts": "Doubts",
    "attention": "Changes",
    "indices": "Indices",
    "final": "Final hours",
    "finish": "Finish",
    "key_date": "Key date",
    "claimable": "Claim",
    "pay": "Pay",
    "long_hours": "Long hours",
}
MOST_NAMES = 6
CAUTION = (
    "Long hours are a caution, by single weeks: limits, rest and what counts as work are for local "
    "law and agreements. What may be claimed is for the contract."
)


def words(line: WeekRemark, currency: str) -> str:
    """Return a line in words."""
    return WORDS[line.what](line, currency)


def _number(value: Value, *, signed: bool = False) -> str:
    if value is None:
        return "undefined"
    return number_text(cast(Decimal | int, value), signed=signed)


def _day(value: Value) -> str:
    return written(value) if isinstance(value, date) else "undefined"


def _names(line: WeekRemark) -> str:
    first_names = ", ".join(line.names[:MOST_NAMES])
    more = len(line.names) - MOST_NAMES
    return f": {first_names}{f' and {more} more' if more > 0 else ''}" if line.names else ""


def _hours(line: WeekRemark, _: str) -> str:
    booked = line.figure("booked")
    saturday = f", {_number(line['saturday'])} h on Saturday" if line["saturday"] else ""
    return f"{_number(booked.value)} h booked{saturday}; {_number(booked.before)} h the week before"


def _to_date(line: WeekRemark, _: str) -> str:
    return f"{_number(line['booked'])} h booked of {_number(line['final'])} h anticipated"


def _sheets(line: WeekRemark, _: str) -> str:
    return (
        f"{line['in']} of {line['expected']} in; {_number(line['held'])} h held, "
        f"{_number(line['untagged'])} h untagged"
    )


def _doubts(line: WeekRemark, _: str) -> str:
    return f"{line['count']} to look into" if line["count"] else "none to look into"


def _attention(line: WeekRemark, _: str) -> str:
    if not line["count"]:
        return f"{line['changes']}, none needs attention"
    return f"{line['count']} of {line['changes']} need attention{_names(line)}"


def _indices(line: WeekRemark, _: str) -> str:
    indices = []
    for name, title in (("cpi", "CPI"), ("spi_time", "SPI(t)")):
        figure = line.figure(name)
        before = "" if figure.before is None else f" ({_number(figure.before)} before)"
        indices.append(f"{title} {_number(figure.value)}{before}")
    return ", ".join(indices)


def _moved(line: WeekRemark, name: str) -> Decimal:
    figure = line.figure(name)
    return cast(Decimal, figure.value) - cast(Decimal, figure.before)


def _final(line: WeekRemark, _: str) -> str:
    moved = _number(_moved(line, "anticipated_final"), signed=True)
    steps = ", ".join(
        f"{STEP_TITLES[name]} {_number(_moved(line, name), signed=True)}" for name in line.names
    )
    return f"{_number(line['anticipated_final'])} h anticipated, {moved} h in the week" + (
        f": {steps}" if steps else ""
    )


def _finish(line: WeekRemark, _: str) -> str:
    if line["finished"]:
        return f"finished {_day(line['finished'])}"
    agreed = f"; completion {_day(line['completion'])}" if line["completion"] else ""
    late = line["late"]
    lateness = ""
    if isinstance(late, int) and late:
        days = counted(abs(late), "working day", "working days")
        lateness = f", {days} {'late' if late > 0 else 'early'}"
    return f"forecast {_day(line['forecast'])}{agreed}{lateness}"


def _key_date(line: WeekRemark, _: str) -> str:
    misses = line["misses_by"]
    standing = "not known" if misses is None else "on time"
    if isinstance(misses, int) and misses:
        standing = f"misses by {counted(misses, 'working day', 'working days')}"
    return f"{line.names[0]}, {_day(line['date'])}: {_number(line['to_go'])} h to go, {standing}"


def _claimable(line: WeekRemark, currency: str) -> str:
    return f"{_number(line['due'])} {currency} may be claimed".replace("  ", " ")


def _pay(line: WeekRemark, _: str) -> str:
    unpaid = f"; {_number(line['unpaid'])} h booked and not paid yet" if line["unpaid"] else ""
    if not line["open"]:
        return f"no open differences in the last five weeks{unpaid}"
    return f"{line['open']} differences open, {_number(line['hours'])} h unexplained{unpaid}"


def _long_hours(line: WeekRemark, _: str) -> str:
    if not line["people"]:
        return "nobody above 48 h in the week"
    return f"{line['people']} above 48 h in the week{_names(line)}"


WORDS: Mapping[str, Callable[[WeekRemark, str], str]] = {
    "hours": _hours,
    "to_date": _to_date,
    "sheets": _sheets,
    "doubts": _doubts,
    "attention": _attention,
    "indices": _indices,
    "final": _final,
    "finish": _finish,
    "key_date": _key_date,
    "claimable": _claimable,
    "pay": _pay,
    "long_hours": _long_hours,
}
