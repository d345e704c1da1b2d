"""settings.toml: each setting as text, checked, all faults at once."""

import json
import zoneinfo
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

from ledger.domain.calendar import WEEKDAYS
from ledger.domain.codes import code_of, word_of
from ledger.domain.currencies import CURRENCIES
from ledger.domain.defaults import SETTINGS
from ledger.domain.doubts import setting_fault
from ledger.domain.overrun import ASKED_BY
from ledger.domain.parsing import MS_PER_HOUR, parse_hours, parse_name, parse_percent, parse_whole
from ledger.domain.pay import KINDS, PREMIUM_ONLY, WORKED
from ledger.domain.premium import STANDS, share_of
from ledger.inputs.document_settings import CHECKS as BY_KIND
from ledger.inputs.document_settings import by_kind
from ledger.inputs.job_values import text
from ledger.inputs.party_values import account, bank, country, electronic_address, fault_by
from ledger.inputs.tax_settings import BY_DAY, by_day
from ledger.jobs.public_holidays import holidays_fault
from ledger.language import fault_of_tag
from ledger.tables.near_miss import near_miss
from ledger.tables.toml_keys import KeyPath, TomlFile

CODES = ("non_productive", "overhead", "absence")
MARKS = {
    "asked_by": ASKED_BY,
    "borne_by": ("yard", "undecided"),
}
OWNERS_TIME = (
    '"owner" is not allowed: time becomes the owner\'s only by a change request; '
    "write yard or undecided"
)
OF_SECTIONS = {
    section: [name.partition(".")[2] for name in SETTINGS if name.startswith(f"{section}.")]
    for section in dict.fromkeys(name.partition(".")[0] for name in SETTINGS)
}
# What settings may say and nothing uses yet.
COMING = {
    "": ("rounding",),
    "yard": ("rounding",),
}
PAID_AS = (WORKED, PREMIUM_ONLY)
MS_PER_DAY = 24 * MS_PER_HOUR
DAYS_OF_THE_WEEK = (
    *("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"),
    *WEEKDAYS,
)


def settings_of(file: TomlFile) -> dict[str, str]:
    """Return the settings of a file by their full names.

    Raises: Faults, naming every one that is unknown or does not fit.
    """
    settings: dict[str, str] = {}
    sections = (*OF_SECTIONS, *CODES, *BY_DAY, "causes", "premiums")
    tables = {name: each for name, each in file.tables.items() if isinstance(each, dict)}
    for section in file.tables:
        if section not in tables and section not in COMING[""]:
            file.fault((section,), f"{section} is outside a table; put it under [yard]")
    for section in file.refuse_unknown((), tables, sections, COMING[""]):
        content = tables[section]
        for path, name, value in _reader(section)(file, section, content):
            if name in settings:
                file.fault(path, f"{name} appears twice; leave one out")
            settings[name] = value
    _refuse_twice(file, settings)
    file.settle()
    return settings


Found = Iterator[tuple[KeyPath, str, str]]


def _reader(section: str) -> Callable[[TomlFile, str, dict[str, Any]], Found]:
    """Return what reads a table of the settings."""
    if section in BY_KIND:
        return by_kind
    if section in BY_DAY:
        return by_day
    if section == "pay_classes":
        return _pay_classes
    if section == "premiums":
        return _premiums
    return _codes if section in CODES else _causes if section == "causes" else _plain


def _plain(file: TomlFile, section: str, content: dict[str, Any]) -> Found:
    known = OF_SECTIONS[section]
    for name in file.refuse_unknown((section,), content, known, COMING.get(section, ())):
        path, full = (section, name), f"{section}.{name}"
        value = _text(file, path, content[name])
        if value is not None and _fits(file, path, full, value):
            yield path, full, value


def _codes(file: TomlFile, section: str, content: dict[str, Any]) -> Found:
    for name, cause in content.items():
        path = (section, name)
        if isinstance(cause, str) and _fits(file, path, section, cause):
            yield path, f"{section}.{code_of(name)}", word_of(cause)
        elif not isinstance(cause, str):
            file.fault(path, f'{section}.{name} names no cause; write {name} = "weather"')


def _causes(file: TomlFile, section: str, content: dict[str, Any]) -> Found:
    for cause, marks in content.items():
        if not isinstance(marks, dict):
            file.fault((section, cause), f"causes.{cause} is not a table; write [causes.{cause}]")
            continue
        for mark in file.refuse_unknown((section, cause), marks, MARKS):
            path, value = (section, cause, mark), marks[mark]
            if mark == "borne_by" and value == "owner":
                file.fault(path, f"causes.{cause}.borne_by {OWNERS_TIME}")
            elif value not in MARKS[mark]:
                use = ", ".join(MARKS[mark])
                file.fault(path, f'causes.{cause}.{mark} "{value}" is unknown; use one of {use}')
            else:
                yield path, f"causes.{word_of(cause)}.{mark}", value


def _pay_classes(file: TomlFile, section: str, content: dict[str, Any]) -> Found:
    for name, kind in content.items():
        path, use = (section, name), ", ".join(KINDS)
        if not isinstance(kind, str):
            file.fault(path, f'{section}.{name} names no kind; write {name} = "{KINDS[0]}"')
        elif kind not in KINDS:
            file.fault(path, f'{section}.{name} "{kind}" is unknown; use one of {use}')
        else:
            yield path, f"{section}.{word_of(name)}", kind


def _premiums(file: TomlFile, section: str, content: dict[str, Any]) -> Found:
    for name, value in content.items():
        path = (section, name)
        percent = _text(file, path, value)
        if percent is not None and _fits(file, path, section, percent):
            yield path, f"{section}.{word_of(name)}", percent


def _text(file: TomlFile, path: KeyPath, value: object) -> str | None:
    """Return a setting as text; None, and a fault, for what is neither text, number nor list."""
    if isinstance(value, str):
        return value
    if isinstance(value, int | Decimal) and not isinstance(value, bool):
        return f"{value}"
    if isinstance(value, list) and path == ("yard", "address"):
        return json.dumps(value, default=str)
    written = str(value).lower() if isinstance(value, bool) else value
    file.fault(path, f"{'.'.join(map(str, path))} {written} is not text; write it in quotes")
    return None


def _fits(file: TomlFile, path: KeyPath, name: str, value: str) -> bool:
    check = CHECKS.get(name)
    if fault := check(value) if check else setting_fault(name, value):
        file.fault(path, f"{'.'.join(map(str, path))} {fault}")
    return not fault


def _refuse_twice(file: TomlFile, settings: dict[str, str]) -> None:
    """Note a fault for each code that stands in two tables."""
    seen: set[str] = set()
    for name in settings:
        section, _, code = name.partition(".")
        if section in CODES:
            if code in seen:
                file.fault((section, code), f"code {code} appears twice; rename one")
            seen.add(code)


def _name(value: str) -> str | None:
    try:
        parse_name(value)
    except ValueError as error:
        return str(error)
    return None


def _address(value: str) -> str | None:
    try:
        lines = json.loads(value)
    except ValueError:
        lines = None
    if not isinstance(lines, list) or not all(isinstance(line, str) for line in lines):
        return 'is not a list of lines; write address = ["Quay 1", "Port"]'
    return next((fault for line in lines if (fault := _name(line))), None)


def _currency(value: str) -> str | None:
    if value in CURRENCIES:
        return None
    hint = f"did you mean {value.upper()}?" if value.upper() in CURRENCIES else "write it as EUR"
    return f'"{value}" is not a currency code of ISO 4217; {hint}'


def _zone(value: str) -> str | None:
    if value in zoneinfo.available_timezones():
        return None
    near = near_miss(value, zoneinfo.available_timezones())
    hint = f"did you mean {near}?" if near else "write it as Europe/Lisbon"
    return f'"{value}" is not a time zone; {hint}'


def _week_start(value: str) -> str | None:
    return None if value in DAYS_OF_THE_WEEK else f'"{value}" is not a weekday; write monday'


def _percent(value: str) -> str | None:
    try:
        parse_percent(value)
    except ValueError as error:
        return str(error)
    return None


def _premium(value: str) -> str | None:
    try:
        share_of(value)
    except ValueError as error:
        return str(error)
    return None


def _whole_days(value: str) -> str | None:
    try:
        days = parse_whole(value)
    except ValueError as error:
        return str(error)
    return None if days >= 0 else f'"{value}" is negative; use zero or more'


def _whole_years(value: str) -> str | None:
    fault = _whole_days(value)
    return fault or (None if 1 <= int(value) <= 100 else f'"{value}" is not 1 to 100 years')


def _whole_percent(value: str) -> str | None:
    fault = _whole_days(value)
    return fault or (None if 0 < int(value) <= 100 else f'"{value}" is not between 1 and 100')


def _hours_up_to(value: str, most: int) -> str | None:
    try:
        ms = parse_hours(value)
    except ValueError as error:
        return str(error)
    whole = most // MS_PER_HOUR
    return None if 0 < ms <= most else f'"{value}" is not above 0 and up to {whole} hours'


CHECKS: dict[str, Callable[[str], str | None]] = {
    **dict.fromkeys(CODES, _name),
    "yard.name": _name,
    "yard.currency": _currency,
    "yard.address": _address,
    "yard.tax_number": lambda value: _name(value) if value else None,
    "yard.country": fault_by(country),
    "yard.postcode": fault_by(text),
    "yard.city": fault_by(text),
    "yard.registration": fault_by(text),
    "yard.tax_registration": fault_by(text),
    "yard.electronic_address": fault_by(electronic_address),
    "bank_account.account": fault_by(account),
    "bank_account.name": fault_by(text),
    "bank_account.bank": fault_by(bank),
    "yard.zone": _zone,
    "yard.week_start": _week_start,
    "yard.holidays": holidays_fault,
    "yard.claim_title": _name,
    "yard.retain_until": _whole_years,
    "yard.locale": fault_of_tag,
    "yard.paper": lambda v: (
        None if v in {"A4", "Letter"} else f'"{v}" is unknown; use A4 or Letter'
    ),
    "measuring.forecast_threshold_percent": _percent,
    "accounts.leave_in_rate": lambda value: (
        None if value in {"yes", "no"} else f'"{value}" is unknown; use yes or no'
    ),
    "overtime.weekly_hours": lambda value: _hours_up_to(value, 7 * MS_PER_DAY) if value else None,
    "overtime.daily_hours": lambda value: _hours_up_to(value, MS_PER_DAY) if value else None,
    "overtime.paid_leave_counts": lambda v: (
        None if v in {"yes", "no"} else f'"{v}" is unknown; use yes or no'
    ),
    "overtime.paid_as": lambda v: (
        None if v in PAID_AS else f'"{v}" is unknown; use {" or ".join(PAID_AS)}'
    ),
    "overtime.premium_percent": lambda value: _premium(value) if value else None,
    "overtime.premium_stands": lambda v: (
        None if v in STANDS else f'"{v}" is unknown; use {" or ".join(STANDS)}'
    ),
    "premiums": _premium,
    "payroll.tolerance_minutes": _whole_days,
    "payroll.close_unreconciled": lambda v: (
        None if v in {"warn", "refuse"} else f'"{v}" is unknown; use warn or refuse'
    ),
    "payroll.full_day_hours": lambda value: _hours_up_to(value, MS_PER_DAY),
    "reminder_levels.decision_days": _whole_days,
    "reminder_levels.days_ahead": _whole_days,
    "reminder_levels.hours_percent": _whole_percent,
}
