"""job.toml: the keys of a job and of its key dates, each checked, all faults at once."""

import json
from decimal import Decimal

from ledger.changes.authority import ACTS
from ledger.changes.daywork_terms import PERCENT_OF, PREMIUMS
from ledger.domain.attention import RECEIVED_ON, SENT_ON
from ledger.domain.calendar import WEEKDAYS
from ledger.domain.codes import name_of
from ledger.domain.contracts import CONTRACT_BASES, FIXED_PRICE, TIME_CHARGE
from ledger.domain.parsing import parse_sum
from ledger.inputs.job_billing import BILLING_TABLES, OF_BILLING, billing_row
from ledger.inputs.job_calendar import days_listed, kept_days
from ledger.inputs.job_invoice import INVOICE, OWNER, invoice_row
from ledger.inputs.job_tables import (
    beside,
    checked,
    keys_of,
    listed,
    missing_in,
    refuse_twice,
    table,
)
from ledger.inputs.job_values import (
    Check,
    amount,
    as_written,
    code,
    codes,
    count_of_days,
    day_of,
    flag,
    holidays_at,
    hours_ms,
    language,
    number_text,
    one_of,
    percent,
    text,
    weekdays_of,
)
from ledger.inputs.small_files import Row
from ledger.jobs.working_days import AFTER, BEFORE
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
    "days_on",
    "holidays",
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
    "language",
    "notice_limits",
    *OF_BILLING,
    INVOICE,
)
# What a job may say and nothing uses yet.
COMING = ("target_hours", "target_shares", "delay_damages")
OF_A_KEY_DATE = ("name", "date", "packages")
OF_A_PERSON = ("person", "may", "up_to")
OF_DAYWORK = (*PERCENT_OF.values(), "premium")
OF_NOTICE_LIMITS = ("notice_days", "quotation_days", "counted")
OF_A_PROVISIONAL_SUM = ("name", "amount", "hours", "package")
DAYS = ("working", "calendar")
BESIDE_THE_JOB = (
    *("key_dates", "authority", "daywork", "provisional_sums", "notice_limits"),
    *("days_off", "days_on", "working_week"),
    *BILLING_TABLES,
    INVOICE,
)


def job_row(file: TomlFile) -> Row:
    """Return a job's own facts as they are kept.

    Raises: Faults, naming every key that is missing, unknown or does not fit.
    """
    file.refuse_unknown((), file.tables, ("job", OWNER, *BESIDE_THE_JOB), COMING)
    job = file.tables.get("job")
    if not isinstance(job, dict):
        file.fault((), "there is no table [job]")
        file.settle()
        return {}
    file.refuse_unknown(("job",), job, (*NEEDED, *OPTIONAL), COMING)
    missing_in(file, ("job",), job, NEEDED, "[job]")
    row = {name: checked(file, ("job", name), job[name], CHECKS) for name in CHECKS if name in job}
    if file.tables.get("working_week") is not None:
        path, week = beside(file, job, "working_week")
        row["working_week"] = checked(file, path, week, CHECKS)
    row["days_off"], row["days_on"] = days_listed(file, job)
    _check_span(file, row)
    row["key_dates"] = _key_dates(file, job, row)
    row["authority"] = _authority(file, job)
    row["daywork"] = table(file, job, "daywork", OF_DAYWORK, CHECKS)
    row["notice_limits"] = table(file, job, "notice_limits", OF_NOTICE_LIMITS, CHECKS)
    row["provisional_sums"] = _provisional_sums(file, job)
    billing = billing_row(file, job, _base_sum(row)) | invoice_row(file, job)
    file.settle()
    return {**_kept(row), **billing}


def _base_sum(row: Row) -> Decimal | None:
    """Return the contract sum less provisional sums; None on a time charge, or while not known."""
    whole: Decimal | None = row.get("contract_sum")
    if whole is None or row.get("contract_basis") == TIME_CHARGE:
        return None
    return whole - sum(Decimal(each["amount"] or 0) for each in row["provisional_sums"])


def _kept(row: Row) -> Row:
    return {
        "job": row["code"],
        "title": row["title"],
        "owner": row["owner"],
        "contract_sum": row["contract_sum"].quantize(Decimal("0.0001")),
        "contract_date": row["contract_date"],
        "planned_start": row["planned_start"],
        "planned_finish": row["planned_finish"],
        "contract_basis": row.get("contract_basis", FIXED_PRICE),
        "working_week": json.dumps(row.get("working_week", WEEKDAYS[:5])),
        "days_off": json.dumps(row["days_off"]),
        "days_on": kept_days(row["days_on"]),
        "holidays": row.get("holidays"),
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
        "language": row.get("language"),
        "notice_limits": json.dumps(row["notice_limits"]),
    }


def _by_the_hour(row: Row) -> bool:
    """Return whether the owner pays base hours by the hour, and so sees how they run."""
    return bool(row.get("contract_basis") == TIME_CHARGE)


def _check_span(file: TomlFile, row: Row) -> None:
    start, finish = row.get("planned_start"), row.get("planned_finish")
    if start and finish and finish < start:
        path = "job", "planned_finish"
        file.fault(path, f"planned_finish {finish} is before planned_start {start}")


def _key_dates(file: TomlFile, job: Row, row: Row) -> list[Row]:
    """Return the key dates."""
    path, tables = listed(file, job, "key_dates")
    read = [_key_date(file, (*path, place), each, row) for place, each in enumerate(tables)]
    names = [each.get("name") for each in read]
    for place, name in enumerate(names):
        if name and name in names[:place]:
            file.fault((*path, place), f'key date "{name}" appears twice')
    return read


def _authority(file: TomlFile, job: Row) -> list[Row]:
    """Return who may instruct and approve for the owner, each with their limit."""
    path, tables = listed(file, job, "authority")
    read = [_person(file, (*path, place), each) for place, each in enumerate(tables)]
    names = [name_of(str(each["person"])) for each in read]
    for place, name in enumerate(names):
        if name in names[:place]:
            file.fault((*path, place), f'"{read[place]["person"]}" appears twice; leave one out')
    return read


def _person(file: TomlFile, path: KeyPath, person: Row) -> Row:
    read = keys_of(file, path, person, OF_A_PERSON, CHECKS)
    missing_in(file, path, person, ("person",), "authority")
    up_to = read.get("up_to")
    limit = None if up_to is None else f"{up_to:f}"
    return {"person": read.get("person"), "may": read.get("may", list(ACTS)), "up_to": limit}


def _provisional_sums(file: TomlFile, job: Row) -> list[Row]:
    """Return the provisional sums of the contract."""
    path, tables = listed(file, job, "provisional_sums")
    read = [_provisional_sum(file, (*path, place), each) for place, each in enumerate(tables)]
    refuse_twice(file, path, [each["name"] for each in read], "provisional sum")
    return read


def _provisional_sum(file: TomlFile, path: KeyPath, provisional_sum: Row) -> Row:
    read = keys_of(file, path, provisional_sum, OF_A_PROVISIONAL_SUM, CHECKS)
    missing_in(file, path, provisional_sum, ("name", "amount"), "a provisional sum")
    sum_of_it = read.get("amount")
    return {
        "name": read.get("name"),
        "amount": None if sum_of_it is None else f"{sum_of_it:f}",
        "hours_ms": read.get("hours"),
        "package": read.get("package"),
    }


def _key_date(file: TomlFile, path: KeyPath, key_date: Row, row: Row) -> Row:
    read = keys_of(file, path, key_date, OF_A_KEY_DATE, CHECKS)
    missing_in(file, path, key_date, OF_A_KEY_DATE, "a key date")
    start, finish, day = row.get("planned_start"), row.get("planned_finish"), read.get("date")
    if start and finish and day and not start - BEFORE <= day <= finish + AFTER:
        what = f"date {day} is outside the job's calendar, {start - BEFORE} to {finish + AFTER}"
        file.fault((*path, "date"), what)
    return read


def _acts(value: object) -> list[str]:
    if not isinstance(value, list) or not value or any(each not in ACTS for each in value):
        raise ValueError(f"{as_written(value)} is not a list of {', '.join(ACTS)}")
    return value


CHECKS: dict[str, Check] = {
    "code": code,
    "title": text,
    "owner": text,
    "contract_sum": lambda value: parse_sum(number_text(value)),
    "contract_date": day_of,
    "planned_start": day_of,
    "planned_finish": day_of,
    "contract_basis": one_of(*CONTRACT_BASES),
    "working_week": weekdays_of,
    "holidays": holidays_at,
    "management_reserve_hours": hours_ms,
    "owner_sees_overrun": flag,
    "completion_date": day_of,
    "days": one_of(*DAYS),
    "silence_confirms_days": count_of_days,
    "omissions_carry_additions": flag,
    "language": language,
    # Of somebody who may act for the owner.
    "person": text,
    "may": _acts,
    "up_to": amount,
    # Of a key date.
    "name": text,
    "date": day_of,
    "packages": codes,
    # Of daywork.
    **dict.fromkeys(PERCENT_OF.values(), percent),
    "premium": one_of(*PREMIUMS),
    # Of notice limits.
    "notice_days": count_of_days,
    "quotation_days": count_of_days,
    "counted": one_of(SENT_ON, RECEIVED_ON),
    # Of a provisional sum.
    "amount": amount,
    "hours": hours_ms,
    "package": code,
}
