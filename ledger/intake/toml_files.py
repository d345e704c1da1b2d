"""settings.toml and job.toml."""

import json
import zoneinfo
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from ledger.changes.baseline import is_frozen
from ledger.domain.calendar import WEEKDAYS, working_days
from ledger.domain.defaults import SETTINGS
from ledger.domain.doubts import setting_fault
from ledger.domain.parsing import (
    FIRST_DAY,
    LAST_DAY,
    parse_date,
    parse_hours,
    parse_money,
    parse_percent,
)
from ledger.domain.pictures import picture_type
from ledger.errors import Refused
from ledger.intake.files import keep_content
from ledger.intake.preflight import read_bytes, read_text
from ledger.intake.raw_files import LARGEST_TOML
from ledger.intake.small_files import supersede
from ledger.intake.toml_text import tables_of
from ledger.store.batches import Batch
from ledger.store.book import Book

# How far a job's calendar is written out before its start and after its finish.
BEFORE = timedelta(days=366)
AFTER = timedelta(days=6 * 366)
LARGEST_LOGO = 5_000_000

CODES = ("non_productive", "overhead", "absence")
MARKS = {
    "asked_by": ("owner", "yard", "change_in_law", "unforeseen_condition"),
    "borne_by": ("owner", "yard", "undecided"),
}
NEEDED = (
    "code",
    "title",
    "owner",
    "contract_sum",
    "contract_date",
    "planned_start",
    "planned_finish",
)
BASES = ("fixed_price", "time_charge", "target")


def read_toml(path: Path) -> dict[str, Any]:
    """Return a TOML file's tables. Raises: Refused, naming the file and what is wrong."""
    file = read_text(path, most=LARGEST_TOML)
    if file.is_workbook:
        raise Refused(f"{file.name}: this is a workbook, not TOML; write the settings as text")
    return tables_of(file.name, file.text)


def _kept_logo(book: Book, batch: Batch, path: Path) -> str:
    """Keep the yard's picture and return its SHA-256. Raises: Refused when it is no picture."""
    if not picture_type(read_bytes(path, LARGEST_LOGO)):
        raise Refused(f"{path.name}: is no PNG, JPEG or SVG; name another logo")
    return keep_content(book, batch, path)


def load_settings(book: Book, batch: Batch, path: Path) -> list[str]:
    """Add the yard's settings that are new or changed; return lines to print."""
    settings = dict(_flat(path.name, read_toml(path)))
    if logo := settings.get("yard.logo"):
        settings["yard.logo"] = _kept_logo(book, batch, path.parent / logo)
    for name, value in settings.items():
        _check_setting(path.name, name, value)
    codes = [name.split(".", 1)[1] for name in settings if name.split(".")[0] in CODES]
    _refuse_twice(path.name, codes)
    _refuse_taken(book, path.name, set(codes))
    rows = [{"name": name, "value": value} for name, value in settings.items()]
    said = supersede(book, batch, "setting", rows)
    for job in book.current("job"):
        if not is_frozen(book, job["job"]):
            _write_calendar(book, batch, job)
    return _told(path, said)


def _told(path: Path, said: list[str]) -> list[str]:
    return [f"{path.name}: {line}" for line in said]


def _flat(file: str, tables: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for section, content in tables.items():
        if not isinstance(content, dict):
            raise Refused(f"{file}: {section} stands outside a section; put it under [yard]")
        for name, value in content.items():
            if section in CODES:
                yield f"{section}.{name.strip().upper()}", str(value).strip().lower()
            elif isinstance(value, dict):
                for inner, text in value.items():
                    yield f"{section}.{name.strip().lower()}.{inner}", _text(text)
            else:
                yield f"{section}.{name}", _text(value)


def _text(value: object) -> str:
    return value if isinstance(value, str) else json.dumps(value, default=str)


def _check_setting(file: str, name: str, value: str) -> None:
    section, last = name.split(".")[0], name.split(".")[-1]
    if section in CODES:
        return
    if section == "causes" and last in MARKS:
        if value not in MARKS[last]:
            raise Refused(f'{file}: {name} "{value}" is none of {", ".join(MARKS[last])}')
    elif name not in SETTINGS:
        raise Refused(f"{file}: there is no setting {name}; `fairhours show settings` lists them")
    elif name == "yard.week_start" and value[:3] not in WEEKDAYS:
        raise Refused(f'{file}: {name} "{value}" is no weekday')
    elif name == "yard.zone" and value not in zoneinfo.available_timezones():
        raise Refused(f'{file}: {name} "{value}" is no time zone; write it as Europe/Lisbon')
    elif name == "yard.address" and not value.startswith("["):
        raise Refused(f'{file}: {name} is a list of lines: address = ["Quay 1", "Port"]')
    elif name == "measuring.forecast_threshold_percent":
        _percent(file, name, value)
    elif name == "yard.paper" and value not in {"A4", "Letter"}:
        raise Refused(f'{file}: {name} "{value}" is neither A4 nor Letter')
    elif fault := setting_fault(name, value):
        raise Refused(f"{file}: {name} {fault}")


def _percent(file: str, name: str, value: str) -> None:
    try:
        parse_percent(value)
    except ValueError as error:
        raise Refused(f"{file}: {name} {error}") from None


def _refuse_twice(file: str, codes: list[str]) -> None:
    twice = sorted({code for code in codes if codes.count(code) > 1})
    if twice:
        raise Refused(f"{file}: the code {twice[0]} means two things; rename one")


def _refuse_taken(book: Book, file: str, codes: set[str]) -> None:
    for row in book.current("job"):
        for code, what in book.rows("codes_of_job", job=row["job"]):
            if code in codes:
                raise Refused(
                    f"{file}: the code {code} is taken in job {row['job']} by a {what}; rename one"
                )


def load_job(book: Book, batch: Batch, path: Path) -> list[str]:
    """Add a job, or its new version, with its calendar by day; return lines to print."""
    tables = read_toml(path)
    job = tables.get("job")
    if not isinstance(job, dict):
        raise Refused(f"{path.name}: there is no section [job]")
    missing = [name for name in NEEDED if name not in job]
    if missing:
        raise Refused(f"{path.name}: [job] has no {', '.join(missing)}")
    row = _job_row(path.name, job, tables.get("key_dates", job.get("key_dates", [])))
    _refuse_after_freeze(book, path.name, row)
    said = _told(path, supersede(book, batch, "job", [row]))
    if not is_frozen(book, row["job"]):
        _write_calendar(book, batch, row)
    return said


def _write_calendar(book: Book, batch: Batch, row: dict[str, Any]) -> None:
    """Write a job's working days out unless they are so already; a frozen job keeps its own."""
    days = _calendar(book, row)
    known = [each[0] for each in book.rows("job_calendar", job=row["job"])]
    if days != known:
        batch.append("job_day", {"job": [row["job"]] * len(days), "day": days})


def _job_row(file: str, job: Mapping[str, Any], key_dates: object) -> dict[str, Any]:
    for name in ("contract_date", "planned_start", "planned_finish"):
        if type(job[name]) is not date:
            raise Refused(f"{file}: {name} is not a date; write {name} = 2026-05-31, unquoted")
        if not FIRST_DAY <= job[name] <= LAST_DAY:
            raise Refused(f"{file}: {name} is not in the years 1900 to 2199; correct it")
    if job["planned_finish"] < job["planned_start"]:
        raise Refused(f"{file}: planned_finish is before planned_start")
    week = job.get("working_week", list(WEEKDAYS[:5]))
    if not week or any(day not in WEEKDAYS for day in week):
        raise Refused(f"{file}: working_week takes {', '.join(WEEKDAYS)}")
    if job.get("contract_basis", BASES[0]) not in BASES:
        raise Refused(f"{file}: contract_basis is none of {', '.join(BASES)}")
    try:
        contract_sum = parse_money(str(job["contract_sum"]))
        days_off = sorted({str(parse_date(str(day))) for day in job.get("days_off", [])})
        reserve = parse_hours(str(job.get("management_reserve_hours", "0")))
    except ValueError as error:
        raise Refused(f"{file}: {error}") from None
    return {
        "job": str(job["code"]).strip().upper(),
        "title": str(job["title"]),
        "owner": str(job["owner"]),
        "contract_sum": contract_sum.quantize(Decimal("0.0001")),
        "contract_date": job["contract_date"],
        "planned_start": job["planned_start"],
        "planned_finish": job["planned_finish"],
        "contract_basis": job.get("contract_basis", BASES[0]),
        "working_week": json.dumps(week),
        "days_off": json.dumps(days_off),
        "management_reserve_ms": reserve,
        "owner_sees_overrun": bool(job.get("owner_sees_overrun", True)),
        "key_dates": json.dumps(key_dates, default=str),
    }


KEPT_BY_FREEZE = (
    "contract_sum",
    "planned_start",
    "planned_finish",
    "management_reserve_ms",
    "working_week",
    "days_off",
)


def _refuse_after_freeze(book: Book, file: str, row: dict[str, Any]) -> None:
    before = [each for each in book.current("job") if each["job"] == row["job"]]
    if before and is_frozen(book, row["job"]):
        for name in KEPT_BY_FREEZE:
            if before[0][name] != row[name]:
                raise Refused(
                    f"{file}: {name} of a frozen job changes only by a named baseline change"
                )


def _calendar(book: Book, row: dict[str, Any]) -> list[date]:
    first, last = row["planned_start"] - BEFORE, row["planned_finish"] + AFTER
    off = {date.fromisoformat(day) for day in json.loads(row["days_off"])}
    if country := book.setting("yard.holidays", ""):
        off |= _holidays(country, first, last)
    return list(working_days(first, last, json.loads(row["working_week"]), frozenset(off)))


def _holidays(country: str, first: date, last: date) -> set[date]:
    import holidays

    years = range(first.year, last.year + 1)
    try:
        return set(holidays.country_holidays(country, years=years))
    except NotImplementedError:
        raise Refused(f'settings: holidays "{country}" is no country code known here') from None
