"""Text to exact values. Each function raises ValueError saying what is wrong and what to write.

Text is matched against a pattern of ASCII digits before it becomes a number.
"""

import re
import unicodedata
from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from ledger.domain.handles import ERASED_NAME, as_known

MS_PER_HOUR = 3_600_000
MS_PER_MINUTE = 60_000
RATE_SCALE = 10_000

_DECIMAL = re.compile(r"-?[0-9]{1,15}(?:\.[0-9]{1,9})?")
_HOURS = re.compile(r"(-?)([0-9]{1,9})(?:\.([0-9]{1,5}))?")
_CLOCK = re.compile(r"(-?)([0-9]{1,9}):([0-5][0-9])(?::([0-5][0-9]))?")
_TIME_OF_DAY = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])(?::([0-5][0-9]))?|24:00(?::00)?")
_DATE = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?:[T ]00:00(?::00(?:\.0+)?)?)?")
# No fact of a yard is of another day, and no reckoning with these leaves the calendar.
FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)
_WHOLE = re.compile(r"-?[0-9]{1,9}")
# A workbook has TRUE and FALSE in its cells where a person wrote yes and no.
FLAGS = {"yes": True, "true": True, "no": False, "false": False}


def each_line(text: str) -> Iterator[str]:
    """Yield the lines of a text with their line feeds, without a copy of the whole."""
    start = 0
    while start < len(text):
        end = text.find("\n", start) + 1 or len(text)
        yield text[start:end]
        start = end


def parse_date(text: str) -> date:
    """Return the day of an ISO 8601 date, also of its midnight (2026-05-31 00:00:00)."""
    match = _DATE.fullmatch(text)
    if not match:
        raise ValueError(f'"{text}" is not a date; write it as 2026-05-31')
    try:
        day = date.fromisoformat(match[1])
    except ValueError:
        raise ValueError(f'"{text}" is not a valid date; correct it') from None
    if not FIRST_DAY <= day <= LAST_DAY:
        raise ValueError(
            f'"{text}" is outside the years 1900 to 2199; correct it, or leave an open end blank'
        )
    return day


def parse_hours(text: str) -> int:
    """Return whole milliseconds of decimal hours (up to five decimals), h:mm or h:mm:ss."""
    if match := _HOURS.fullmatch(text):
        sign, whole, part = match.groups()
        ms = int(whole) * MS_PER_HOUR + int((part or "").ljust(5, "0")) * 36
        return -ms if sign else ms
    if match := _CLOCK.fullmatch(text):
        sign, hours, minutes, seconds = match.groups()
        ms = int(hours) * MS_PER_HOUR + int(minutes) * MS_PER_MINUTE + int(seconds or 0) * 1000
        return -ms if sign else ms
    raise ValueError(f'"{text}" is not a valid duration; write hours as 7.5 or 7:30')


def parse_time_of_day(text: str) -> str:
    """Return a time of the clock as hh:mm, with seconds where there are any; 24:00 ends a day."""
    if not _TIME_OF_DAY.fullmatch(text):
        raise ValueError(f'"{text}" is not a valid time of day; write it as 07:30 or 15:45')
    hours, minutes, *rest = text.split(":")
    seconds = f":{rest[0]}" if rest and rest[0] != "00" else ""
    return f"{int(hours):02}:{minutes}{seconds}"


def parse_decimal(text: str) -> Decimal:
    """Return an exact decimal of up to nine places."""
    if not _DECIMAL.fullmatch(text):
        raise ValueError(f'"{text}" is not a decimal number; write it as 1234.50')
    return Decimal(text)


def parse_quantity(text: str) -> Decimal:
    """Return a quantity of up to six places."""
    quantity = parse_decimal(text)
    if quantity != quantity.quantize(Decimal("0.000001")):
        raise ValueError(f'"{text}" has more than six decimals; round it first')
    return quantity


def parse_money(text: str) -> Decimal:
    """Return an amount of up to four places."""
    amount = parse_decimal(text)
    if amount != amount.quantize(Decimal("0.0001")):
        raise ValueError(f'"{text}" has more than four decimals; round it first')
    return amount


def parse_sum(text: str) -> Decimal:
    """Return an amount that is printed as it is: of up to two places."""
    amount = parse_decimal(text)
    if amount != amount.quantize(Decimal("0.01")):
        raise ValueError(f'"{text}" has more than two decimals; round it first')
    return amount


def parse_rate(text: str) -> int:
    """Return an amount an hour in whole 1/10000."""
    amount = parse_money(text)
    if amount < 0:
        raise ValueError(f'"{text}" is negative; a rate must be zero or more')
    return int(amount * RATE_SCALE)


def parse_percent(text: str) -> Decimal:
    """Return a percent between 0 and 100, written with or without its sign."""
    digits = text.removesuffix("%").rstrip()
    if not _DECIMAL.fullmatch(digits):
        raise ValueError(f'"{text}" is not a percent; write it as 62.5')
    percent = Decimal(digits)
    if not 0 <= percent <= 100:
        raise ValueError(f'"{text}" is not between 0 and 100 percent')
    return percent


def parse_share(text: str) -> Decimal:
    """Return a share between 0 and 1, written so or as a percent with its sign."""
    if text.endswith("%"):
        return parse_percent(text) / 100
    share = parse_decimal(text)
    if not 0 <= share <= 1:
        raise ValueError(f'"{text}" is not a share between 0 and 1; 25 % is 0.25')
    return share


def parse_whole(text: str) -> int:
    """Return a whole number."""
    if not _WHOLE.fullmatch(text):
        raise ValueError(f'"{text}" is not a whole number')
    return int(text)


def parse_name(text: str) -> str:
    """Return a name or title of one line."""
    if not text.strip():
        raise ValueError("is blank; fill it in")
    if any(unicodedata.category(each) in {"Cc", "Zl", "Zp"} for each in text):
        raise ValueError("has a line end or control character; write it on one line")
    return text


def parse_person(text: str) -> str:
    """Return the name of a person, composed; "erased" is what stands for one that was erased."""
    name = as_known(parse_name(text))
    if name == ERASED_NAME:
        raise ValueError(f'"{text}" stands for a name that was erased; write the name')
    return name


def parse_flag(text: str) -> bool:
    """Return whether a mark is set: yes or true, no or false, in any case."""
    word = text.lower()
    if word not in FLAGS:
        raise ValueError(f'"{text}" is unknown; use yes or no')
    return FLAGS[word]
