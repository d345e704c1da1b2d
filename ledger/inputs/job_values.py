"""What a value of a job's keys must be, each as it is kept; what does not fit is a ValueError."""

import json
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from ledger.domain.calendar import WEEKDAYS
from ledger.domain.codes import code_of
from ledger.domain.parsing import (
    parse_date,
    parse_decimal,
    parse_hours,
    parse_name,
    parse_share,
    parse_sum,
)
from ledger.jobs.public_holidays import holidays_fault
from ledger.language import fault_of_tag

FIRST_YEAR, LAST_YEAR = 1990, 2100

Check = Callable[[Any], Any]


def text(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{as_written(value)} is not text; write it in quotes")
    return parse_name(value)


def code(value: object) -> str:
    whole = isinstance(value, int) and not isinstance(value, bool)
    return code_of(text(str(value) if whole else value))


def language(value: object) -> str:
    tag = text(value)
    if fault := fault_of_tag(tag):
        raise ValueError(fault)
    return tag


def number_text(value: object) -> str:
    """Return a number as text, written with quotes or without."""
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        raise ValueError(f"{as_written(value)} is not a number; write it in quotes")
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def day_of(value: object) -> date:
    if not isinstance(value, date) or isinstance(value, datetime):
        raise ValueError(
            f"{as_written(value)} is not a date; write it as 2026-05-31, without quotes"
        )
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise ValueError(f"{value} is not between {FIRST_YEAR} and {LAST_YEAR}; correct it")
    return value


def date_of(value: object) -> date:
    """Return a date, written with quotes or without."""
    return day_of(parse_date(value) if isinstance(value, str) else value)


def weekdays_of(value: object) -> list[str] | dict[str, str]:
    """Return the weekdays worked: a list, or by weekday the weights where not all are full."""
    days = list(value) if isinstance(value, list | dict) else []
    if not days or any(day not in WEEKDAYS for day in days):
        raise ValueError(
            f"{as_written(value)} is not a list of weekdays; use {', '.join(WEEKDAYS)}"
        )
    if not isinstance(value, dict):
        return days
    weights = {day: weight_of(value[day]) for day in WEEKDAYS if day in value}
    return list(weights) if set(weights.values()) == {"1"} else weights


def weight_of(value: object) -> str:
    """Return the part of a full crew that works on a day, above 0 up to 1."""
    try:
        weight = parse_share(number_text(value))
    except ValueError:
        weight = Decimal(0)
    if not weight or weight != round(weight, 9):
        what = f"{as_written(value)} is not the weight of a day; write a part of the full crew"
        raise ValueError(f"{what} above 0 up to 1, as 0.4")
    return f"{weight.normalize():f}"


def holidays_at(value: object) -> str:
    """Return the country or the part of one whose public holidays a job keeps; none if empty."""
    place = value.strip() if isinstance(value, str) else text(value)
    if fault := holidays_fault(place):
        raise ValueError(fault)
    return place


def one_of(*words: str) -> Check:
    def check(value: object) -> str:
        if value not in words:
            raise ValueError(f"{as_written(value)} is unknown; use one of {', '.join(words)}")
        return str(value)

    return check


def amount(value: object) -> Decimal:
    amount = parse_sum(number_text(value))
    if amount < 0:
        raise ValueError(f'"{value}" is below zero')
    return amount


def percent(value: object) -> str:
    percent = parse_decimal(number_text(value).removesuffix("%").rstrip())
    if percent < 0:
        raise ValueError(f'"{value}" is below zero')
    return f"{percent:f}"


def count_of_days(value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise ValueError(f"{as_written(value)} is not a number of days; write it as 7")
    return value


def hours_ms(value: object) -> int:
    ms = parse_hours(number_text(value))
    if ms < 0:
        raise ValueError(f'"{value}" is negative; use zero or more')
    return ms


def flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"{as_written(value)} is not true or false; write one, without quotes")
    return value


def codes(value: object) -> list[str]:
    if not isinstance(value, list) or not value:
        raise ValueError(f'{as_written(value)} is not a list of packages; write ["H01", "H02"]')
    codes = [code(each) for each in value]
    if twice := sorted({each for each in codes if codes.count(each) > 1}):
        raise ValueError(f"names {', '.join(twice)} twice; leave one out")
    return codes


def as_written(value: object) -> str:
    """Return a value as it may stand in the file."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Decimal | date):
        return str(value)
    return json.dumps(value, ensure_ascii=False, default=str)
