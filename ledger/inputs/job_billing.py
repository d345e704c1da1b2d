"""job.toml: how a job is claimed: stage payments, retention, advance and certificates."""

import json
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.claims import (
    APPLIES_TO,
    CERTIFICATES,
    OMISSIONS_CREDITED,
    RELEASED_AT,
    RETENTION_INVOICED,
)
from ledger.inputs.job_tables import (
    checked,
    keys_of,
    listed,
    missing_in,
    refuse_twice,
    rows_of,
    table,
)
from ledger.inputs.job_values import (
    Check,
    amount,
    as_written,
    codes,
    day_of,
    one_of,
    percent,
    text,
)
from ledger.inputs.small_files import Row
from ledger.tables.toml_keys import KeyPath, TomlFile

BILLING_TABLES = ("stage_payments", "retention", "advance")
OF_BILLING = (
    *("certificate", "omissions_credited", "delivered_on", "defects_end_on"),
    *BILLING_TABLES,
)
OF_A_STAGE = ("name", "amount", "percent", "packages")
OF_RETENTION = ("percent", "limit_percent", "applies_to", "invoiced", "release")
OF_A_RELEASE = ("percent", "at")
OF_AN_ADVANCE = ("amount", "recovery_percent")


def billing_row(file: TomlFile, job: Row, base_sum: Decimal | None) -> Row:
    """Return how a job is claimed, as it is kept; what does not fit is a fault of the file.

    `base_sum` is what stage payments are of, None where it is not known or not claimed by stages.
    """
    names = ("certificate", "omissions_credited", "delivered_on", "defects_end_on")
    row: Row = dict.fromkeys(names)
    row |= {name: checked(file, ("job", name), job[name], CHECKS) for name in names if name in job}
    terms = {
        "stage_payments": _stages(file, job, base_sum),
        "retention": _retention(file, job),
        "advance": _advance(file, job),
    }
    return row | {name: json.dumps(kept, ensure_ascii=False) for name, kept in terms.items()}


def _stages(file: TomlFile, job: Row, base_sum: Decimal | None) -> list[Row]:
    """Return the stage payments: parts of the contract sum, each by an amount or a percentage.

    Provisional sums are no part of them: what these are spent on is claimed by itself.
    """
    path, tables = listed(file, job, "stage_payments")
    read = [_stage(file, (*path, place), each) for place, each in enumerate(tables)]
    refuse_twice(file, path, [each.get("name") for each in read], "stage payment")
    _refuse_above(file, path, read, base_sum)
    return read


def _refuse_above(
    file: TomlFile, path: KeyPath, stages: list[Row], base_sum: Decimal | None
) -> None:
    if base_sum is None or base_sum <= 0:
        return
    shares = (Fraction(each["percent"]) / 100 for each in stages if each.get("percent"))
    amounts = (Fraction(each["amount"]) for each in stages if each.get("amount"))
    if Fraction(base_sum) * sum(shares) + sum(amounts) > base_sum:
        what = f"stage payments are above the contract sum less provisional sums, {base_sum:f}"
        file.fault(path, what)


def _stage(file: TomlFile, path: KeyPath, stage: Row) -> Row:
    missing_in(file, path, stage, ("name",), "a stage payment")
    if ("amount" in stage) == ("percent" in stage):
        file.fault(path, "a stage payment has an amount or a percent of the contract sum")
    return _texts(keys_of(file, path, stage, OF_A_STAGE, CHECKS))


def _retention(file: TomlFile, job: Row) -> Row:
    read = table(file, job, "retention", OF_RETENTION, CHECKS)
    if not read:
        return {}
    path: KeyPath = ("job", "retention") if "retention" in job else ("retention",)
    missing_in(file, path, read, ("percent",), "[retention]")
    releases = rows_of(file, (*path, "release"), "retention.release", read.get("release"))
    kept = [_release(file, (*path, "release", place), each) for place, each in enumerate(releases)]
    return _texts(read) | {"release": kept}


def _release(file: TomlFile, path: KeyPath, release: Row) -> Row:
    missing_in(file, path, release, OF_A_RELEASE, "a release of retention")
    return _texts(keys_of(file, path, release, OF_A_RELEASE, CHECKS))


def _advance(file: TomlFile, job: Row) -> Row:
    read = table(file, job, "advance", OF_AN_ADVANCE, CHECKS)
    if read:
        path: KeyPath = ("job", "advance") if "advance" in job else ("advance",)
        missing_in(file, path, read, OF_AN_ADVANCE, "[advance]")
    return _texts(read)


def _texts(row: Row) -> Row:
    """Return a row with its numbers and days as text."""
    kept = ("name", "packages", "applies_to", "release")
    return {k: v if k in kept or v is None else f"{v}" for k, v in row.items()}


def _share(value: object) -> str:
    share = percent(value)
    if Decimal(share) > 100:
        raise ValueError(f'"{as_written(value)}" is above 100')
    return share


def _release_at(value: object) -> str | date:
    if isinstance(value, str) and value in RELEASED_AT:
        return value
    if isinstance(value, str):
        raise ValueError(f"{as_written(value)} is unknown; use a date or {', '.join(RELEASED_AT)}")
    return day_of(value)


def _kinds(value: object) -> list[str]:
    if not isinstance(value, list) or not value or any(each not in APPLIES_TO for each in value):
        raise ValueError(f"{as_written(value)} is not a list of {', '.join(APPLIES_TO)}")
    return value


CHECKS: dict[str, Check] = {
    "certificate": one_of(*CERTIFICATES),
    "omissions_credited": one_of(*OMISSIONS_CREDITED),
    "delivered_on": day_of,
    "defects_end_on": day_of,
    # Of a stage payment.
    "name": text,
    "amount": amount,
    "percent": _share,
    "packages": codes,
    # Of retention, and its releases.
    "limit_percent": _share,
    "applies_to": _kinds,
    "release": lambda value: value,
    "invoiced": one_of(*RETENTION_INVOICED),
    "at": _release_at,
    # Of an advance.
    "recovery_percent": _share,
}
