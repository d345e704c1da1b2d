"""job.toml: the keys of a job and of its key dates, each checked, all faults at once."""

import json
from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from ledger.changes.authority import ACTS
from ledger.changes.daywork_terms import PERCENT_OF, PREMIUMS
from ledger.domain.attention import RECEIVED_ON, SENT_ON
from ledger.domain.calendar import WEEKDAYS
from ledger.domain.codes import code_of
from ledger.domain.parsing import (
    parse_date,
    parse_decimal,
    parse_hours,
    parse_name,
    parse_sum,
)
from ledger.inputs.small_files import Row
from ledger.tables.toml_keys import KeyPath, TomlFile

NEEDED = (
    "code",
    "title",
    "owner",
    "contract_sum",
    "contract_date",
    "planned_start",
    "planned_finish",
)
OPTIONAL = (
    "contract_basis",
    "working_week",
    "days_off",
    "management_reserve_hours",
    "owner_sees_overrun",
    "key_dates",
    "completion_date",
    "days",
    "silence_confirms_days",
    "authority",
    "daywork",
    "provisional_sums",
    "omissions_carry_additions",
    "notice_limits",
)
# What a job may say and nothing uses yet.
COMING = (
    *("days_on", "certificate", "omissions_credited", "target_hours"),
    *("target_shares", "stage_payments", "retention", "advance"),
    *("delay_damages", "invoice"),
)
OF_A_KEY_DATE = ("name", "date", "packages")
OF_A_PERSON = ("person", "may", "up_to")
OF_DAYWORK = (*PERCENT_OF.values(), "premium")
OF_NOTICE_LIMITS = ("notice_days", "quotation_days", "counted")
OF_A_PROVISIONAL_SUM = ("name", "amount", "hours", "package")
DAYS = ("working", "calendar")
BESIDE_THE_JOB = ("key_dates", "authority", "daywork", "provisional_sums", "notice_limits")
BASES = ("fixed_price", "time_charge", "target")
FIRST_YEAR, LAST_YEAR = 1990, 2100
# How far a job's calendar is written out before its start and after its finish.
BEFORE = timedelta(days=366)
AFTER = timedelta(days=6 * 366)

Check = Callable[[Any], Any]


def job_row(file: TomlFile) -> Row:
    """Return a job's own facts as they are kept.

    Raises: Faults, naming every key that is missing, unknown or does not fit.
    """
    file.refuse_unknown((), file.tables, ("job", *BESIDE_THE_JOB), (*COMING, "owner"))
    job = file.tables.get("job")
    if not isinstance(job, dict):
        file.fault((), "there is no table [job]")
        file.settle()
        return {}
    file.refuse_unknown(("job",), job, (*NEEDED, *OPTIONAL), COMING)
    if missing := [name for name in NEEDED if name not in job]:
        file.fault(("job",), f"[job] has no {', '.join(missing)}")
    row = {name: _checked(file, ("job", name), job[name]) for name in CHECKS if name in job}
    _check_span(file, row)
    row["key_dates"] = _key_dates(file, job, row)
    row["authority"] = _authority(file, job)
    row["daywork"] = _table(file, job, "daywork", OF_DAYWORK)
    row["notice_limits"] = _table(file, job, "notice_limits", OF_NOTICE_LIMITS)
    row["provisional_sums"] = _provisional_sums(file, job)
    file.settle()
    return _kept(row)


def _kept(row: Row) -> Row:
    return {
        "job": row["code"],
        "title": row["title"],
        "owner": row["owner"],
        "contract_sum": row["contract_sum"].quantize(Decimal("0.0001")),
        "contract_date": row["contract_date"],
        "planned_start": row["planned_start"],
        "planned_finish": row["planned_finish"],
        "contract_basis": row.get("contract_basis", BASES[0]),
        "working_week": json.dumps(row.get("working_week", WEEKDAYS[:5])),
        "days_off": json.dumps(row.get("days_off", [])),
        "management_reserve_ms": row.get("management_reserve_hours", 0),
        "owner_sees_overrun": row.get("owner_sees_overrun", _by_the_hour(row)),
        "key_dates": json.dumps(row["key_dates"], default=str),
        "completion_date": row.get("completion_date"),
        "days": row.get("days", DAYS[0]),
        "silence_confirms_days": row.get("silence_confirms_days"),
        "authority": json.dumps(row["authority"], ensure_ascii=False),
        "daywork": json.dumps(row["daywork"]),
        "provisional_sums": json.dumps(row["provisional_sums"], ensure_ascii=False),
        "omissions_carry_additions": row.get("omissions_carry_additions", False),
        "notice_limits": json.dumps(row["notice_limits"]),
    }


def _by_the_hour(row: Row) -> bool:
    """Return whether the owner pays base hours by the hour, and so sees how they run."""
    return bool(row.get("contract_basis") == "time_charge")


def _checked(file: TomlFile, path: KeyPath, value: object) -> Any:
    """Return a value as it is kept; None when it does not fit, which is a fault."""
    name = str(path[-1])
    try:
        return CHECKS[name](value)
    except ValueError as error:
        file.fault(path, f"{name} {error}")
    return None


def _check_span(file: TomlFile, row: Row) -> None:
    start, finish = row.get("planned_start"), row.get("planned_finish")
    if start and finish and finish < start:
        path = "job", "planned_finish"
        file.fault(path, f"planned_finish {finish} is before planned_start {start}")


def _beside(file: TomlFile, job: Row, name: str) -> tuple[KeyPath, Any]:
    """Return what stands beside [job] or in it, None without it, and where."""
    inside = name in job
    if inside and name in file.tables:
        file.fault((name,), f"{name} appears in [job] too; leave one out")
    path: KeyPath = ("job", name) if inside else (name,)
    return path, job[name] if inside else file.tables.get(name)


def _listed(file: TomlFile, job: Row, name: str) -> tuple[KeyPath, list[Row]]:
    """Return a list of tables, beside [job] or in it, and where it stands."""
    path, given = _beside(file, job, name)
    given = [] if given is None else given
    if not isinstance(given, list) or not all(isinstance(each, dict) for each in given):
        file.fault(path, f"{name} is not a list; write [[{name}]] for each")
        return path, []
    return path, given


def _key_dates(file: TomlFile, job: Row, row: Row) -> list[Row]:
    """Return the key dates."""
    path, given = _listed(file, job, "key_dates")
    read = [_key_date(file, (*path, place), each, row) for place, each in enumerate(given)]
    names = [each.get("name") for each in read]
    for place, name in enumerate(names):
        if name and name in names[:place]:
            file.fault((*path, place), f'key date "{name}" appears twice')
    return read


def _authority(file: TomlFile, job: Row) -> list[Row]:
    """Return who may instruct and approve for the owner, each with their limit."""
    path, given = _listed(file, job, "authority")
    read = [_person(file, (*path, place), each) for place, each in enumerate(given)]
    names = [" ".join(str(each["person"]).split()).casefold() for each in read]
    for place, name in enumerate(names):
        if name in names[:place]:
            file.fault((*path, place), f'"{read[place]["person"]}" appears twice; leave one out')
    return read


def _person(file: TomlFile, path: KeyPath, given: Row) -> Row:
    file.refuse_unknown(path, given, OF_A_PERSON)
    if "person" not in given:
        file.fault(path, "authority has no person")
    read = {name: _checked(file, (*path, name), given[name]) for name in given if name in CHECKS}
    up_to = read.get("up_to")
    limit = None if up_to is None else f"{up_to:f}"
    return {"person": read.get("person"), "may": read.get("may", list(ACTS)), "up_to": limit}


def _table(file: TomlFile, job: Row, name: str, keys: Sequence[str]) -> Row:
    """Return a table of a job's terms, empty when the job has none."""
    path, given = _beside(file, job, name)
    if given is None:
        return {}
    if not isinstance(given, dict):
        file.fault(path, f"{name} is not a table; write [{name}]")
        return {}
    named = file.refuse_unknown(path, given, keys)
    return {each: _checked(file, (*path, each), given[each]) for each in named}


def _provisional_sums(file: TomlFile, job: Row) -> list[Row]:
    """Return the provisional sums of the contract."""
    path, given = _listed(file, job, "provisional_sums")
    read = [_provisional_sum(file, (*path, place), each) for place, each in enumerate(given)]
    names = [" ".join(str(each["name"]).split()).casefold() for each in read]
    for place, name in enumerate(names):
        if read[place]["name"] and name in names[:place]:
            file.fault((*path, place), f'provisional sum "{read[place]["name"]}" appears twice')
    return read


def _provisional_sum(file: TomlFile, path: KeyPath, given: Row) -> Row:
    named = file.refuse_unknown(path, given, OF_A_PROVISIONAL_SUM)
    if missing := [name for name in ("name", "amount") if name not in given]:
        file.fault(path, f"a provisional sum has no {', '.join(missing)}")
    read = {name: _checked(file, (*path, name), given[name]) for name in named}
    amount = read.get("amount")
    return {
        "name": read.get("name"),
        "amount": None if amount is None else f"{amount:f}",
        "hours_ms": read.get("hours"),
        "package": read.get("package"),
    }


def _key_date(file: TomlFile, path: KeyPath, given: Row, row: Row) -> Row:
    file.refuse_unknown(path, given, OF_A_KEY_DATE)
    if missing := [name for name in OF_A_KEY_DATE if name not in given]:
        file.fault(path, f"a key date has no {', '.join(missing)}")
    read = {name: _checked(file, (*path, name), given[name]) for name in given if name in CHECKS}
    start, finish, day = row.get("planned_start"), row.get("planned_finish"), read.get("date")
    if start and finish and day and not start - BEFORE <= day <= finish + AFTER:
        what = f"date {day} is outside the job's calendar, {start - BEFORE} to {finish + AFTER}"
        file.fault((*path, "date"), what)
    return read


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{_shown(value)} is not text; write it in quotes")
    return parse_name(value)


def _code(value: object) -> str:
    whole = isinstance(value, int) and not isinstance(value, bool)
    return code_of(_text(str(value) if whole else value))


def _amount(value: object) -> str:
    """Return a number as text, written with quotes or without."""
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        raise ValueError(f"{_shown(value)} is not a number; write it in quotes")
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def _day(value: object) -> date:
    if not isinstance(value, date) or isinstance(value, datetime):
        raise ValueError(f"{_shown(value)} is not a date; write it as 2026-05-31, without quotes")
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise ValueError(f"{value} is not between {FIRST_YEAR} and {LAST_YEAR}; correct it")
    return value


def _days(value: object) -> list[str]:
    if not isinstance(value, list):
        raise ValueError(f"{_shown(value)} is not a list of dates; write [2026-05-31]")
    return sorted({str(_day(parse_date(day) if isinstance(day, str) else day)) for day in value})


def _week(value: object) -> list[str]:
    if not isinstance(value, list) or not value or any(day not in WEEKDAYS for day in value):
        raise ValueError(f"{_shown(value)} is not a list of weekdays; use {', '.join(WEEKDAYS)}")
    return value


def _choice(*words: str) -> Check:
    def check(value: object) -> str:
        if value not in words:
            raise ValueError(f"{_shown(value)} is unknown; use one of {', '.join(words)}")
        return str(value)

    return check


def _acts(value: object) -> list[str]:
    if not isinstance(value, list) or not value or any(each not in ACTS for each in value):
        raise ValueError(f"{_shown(value)} is not a list of {', '.join(ACTS)}")
    return value


def _limit(value: object) -> Decimal:
    amount = parse_sum(_amount(value))
    if amount < 0:
        raise ValueError(f'"{value}" is below zero')
    return amount


def _percent_on_cost(value: object) -> str:
    percent = parse_decimal(_amount(value).removesuffix("%").rstrip())
    if percent < 0:
        raise ValueError(f'"{value}" is below zero')
    return f"{percent:f}"


def _count(value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise ValueError(f"{_shown(value)} is not a number of days; write it as 7")
    return value


def _reserve(value: object) -> int:
    ms = parse_hours(_amount(value))
    if ms < 0:
        raise ValueError(f'"{value}" is negative; use zero or more')
    return ms


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"{_shown(value)} is not true or false; write one, without quotes")
    return value


def _codes(value: object) -> list[str]:
    if not isinstance(value, list) or not value:
        raise ValueError(f'{_shown(value)} is not a list of packages; write ["H01", "H02"]')
    codes = [_code(each) for each in value]
    if twice := sorted({each for each in codes if codes.count(each) > 1}):
        raise ValueError(f"names {', '.join(twice)} twice; leave one out")
    return codes


def _shown(value: object) -> str:
    """Return a value as it may stand in the file."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Decimal | date):
        return str(value)
    return json.dumps(value, ensure_ascii=False, default=str)


CHECKS: dict[str, Check] = {
    "code": _code,
    "title": _text,
    "owner": _text,
    "contract_sum": lambda value: parse_sum(_amount(value)),
    "contract_date": _day,
    "planned_start": _day,
    "planned_finish": _day,
    "contract_basis": _choice(*BASES),
    "working_week": _week,
    "days_off": _days,
    "management_reserve_hours": _reserve,
    "owner_sees_overrun": _flag,
    "completion_date": _day,
    "days": _choice(*DAYS),
    "silence_confirms_days": _count,
    "omissions_carry_additions": _flag,
    # Of somebody who may act for the owner.
    "person": _text,
    "may": _acts,
    "up_to": _limit,
    # Of a key date.
    "name": _text,
    "date": _day,
    "packages": _codes,
    # Of daywork.
    **dict.fromkeys(PERCENT_OF.values(), _percent_on_cost),
    "premium": _choice(*PREMIUMS),
    # Of notice limits.
    "notice_days": _count,
    "quotation_days": _count,
    "counted": _choice(SENT_ON, RECEIVED_ON),
    # Of a provisional sum.
    "amount": _limit,
    "hours": _reserve,
    "package": _code,
}
