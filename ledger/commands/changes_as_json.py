"""Changes for machines: hours and money of 4 places, None with its reason where undefined."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from ledger.changes.daywork import ItemLine
from ledger.changes.daywork_shown import DayworkNow, DayworkShown, SheetShown
from ledger.changes.sums import ContractSums
from ledger.commands.as_json import Json, Words, known_at
from ledger.commands.changes import ChangeShown, ChangesKnown, ChargeKnown, Revision
from ledger.domain.allocation import hours_of
from ledger.domain.pricing import YardPriceLine
from ledger.domain.quoting import Margin
from ledger.outcomes import Reason
from ledger.performance.change_list import ListedChange

PLACES, PARTS = Decimal("0.0001"), Decimal("0.000001")
# The sums as they are named here, each with how it follows; omitted is what was taken out.
SUMS = (
    *("original_sum", "approved", "omitted", "daywork_movement", "adjusted_sum"),
    *("daywork_unsigned", "time_beyond_estimate", "instructed_at_latest_price"),
    *("anticipated_final_sum", "submitted"),
)


def sums_named(original: Decimal, sums: ContractSums | None) -> dict[str, Decimal | None]:
    """Return the sums of a job by their names; without prices only the original one is known."""
    if sums is None:
        return {**dict.fromkeys(SUMS), "original_sum": original}
    amounts = (
        *(sums.original, sums.approved, -sums.omitted, sums.daywork_movement, sums.adjusted),
        *(sums.daywork_unsigned, sums.time_beyond, sums.instructed),
        *(sums.anticipated_final, sums.submitted),
    )
    return dict(zip(SUMS, amounts, strict=True))


def change_json(listed: ListedChange) -> Json:
    """Return a change as a row of the list."""
    standing, facts = listed.standing, listed.standing.change.facts
    return {
        "change": standing.change.code,
        "title": facts["title"],
        "basis": standing.basis,
        "origin": facts["origin"],
        "price_state": standing.price_state,
        "instruction": listed.instruction,
        "work": listed.work,
        "revision": standing.revision,
        "price": money(listed.amount),
        "hours_priced": hours_4(standing.hours_ms),
        "hours_booked": hours_4(listed.booked_ms),
        "hours_anticipated": hours_4(listed.anticipated_ms),
        "days_requested": standing.days_requested,
        "days_granted": standing.state.days_decided,
        "decision_needed_by": facts["decision_needed_by"],
        **_daywork_sums(listed.daywork),
        "exposure_hours": hours_4(listed.exposure.ms),
        "exposure_value": money(listed.exposure.value),
        "attention": [each.kind for each in listed.attention],
        "due": {each.kind: each.due for each in listed.attention if each.due},
    }


# What of a change is of daywork alone.
DAYWORK = ("hours_agreed", "hours_unsigned", "daywork_agreed", "daywork_unsigned")


def _daywork_sums(now: DayworkNow | None) -> Json:
    if now is None:
        return dict.fromkeys(DAYWORK)
    hours = hours_4(now.agreed_ms), hours_4(now.unsigned_ms)
    return dict(zip(DAYWORK, (*hours, money(now.agreed), money(now.unsigned)), strict=True))


def margin_json(margin: Margin | None) -> Json:
    """Return what the yard keeps of a change, and that in percent of its price."""
    percent = margin.percent_of_price if margin else None
    return {"margin": money(margin.amount if margin else None), "margin_percent": percent}


def changes_json(known: ChangesKnown, *, reason: Words) -> Json:
    """Return the changes of a job, and what its sum comes to."""
    listed = known.listed
    sums = sums_named(listed.original_sum, listed.sums)
    return {
        "job": listed.job,
        "status_date": listed.status_date,
        "changes": [
            change_json(each) | margin_json(known.margins[each.standing.change.code])
            for each in listed.changes
        ],
        **{name: money(amount) for name, amount in sums.items()},
        "provisional_sums": [
            {
                "name": each.name,
                "amount": money(each.amount),
                "omitted": money(each.omitted),
                "left": money(each.left),
            }
            for each in listed.provisional_sums
        ],
        "exposure_hours": hours_4(listed.exposure.ms),
        "exposure_value": money(listed.exposure.value),
        "completion_date": listed.completion.moved_to,
        "completion_date_original": listed.completion.agreed,
        "days_granted": listed.completion.days_granted,
        "undefined": listed.undefined | _without_margin(known.no_margin, reason),
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


def charge_json(known: ChargeKnown) -> Json:
    """Return why the sum of a job changed: steps that add to the last, each by change."""
    in_charge = known.in_charge
    return {
        "job": in_charge.job,
        "status_date": in_charge.day,
        "in": "charge",
        "currency": in_charge.currency,
        "steps": [
            {
                "step": step,
                "amount": money(amount),
                "changes": [
                    {"change": code, "amount": money(part)} for code, part in in_charge.of(step)
                ],
                "unspent": [
                    {"provisional_sum": name, "amount": money(part)}
                    for name, part in in_charge.unspent_of(step)
                ],
            }
            for step, amount in in_charge.steps.items()
        ],
        "adjusted_sum": money(in_charge.sums.adjusted),
        "submitted": money(in_charge.sums.submitted),
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


EVENT = (
    *("day", "event", "revision", "person", "reference", "valid_until", "rough", "not_to_exceed"),
    *("condition", "days_requested", "days_granted", "agreed_value", "aware_on", "received_on"),
    *("document", "note"),
)


def life_of(details: ChangeShown) -> list[dict[str, Any]]:
    """Return what happened to a change by the day, oldest first, the request before all."""
    facts = details.change.standing.change.facts
    asked = {"day": facts["requested_on"], "event": "requested", "person": facts["requested_by"]}
    rows = [{**dict.fromkeys((*EVENT, "agreed_ms")), **asked}]
    for record in details.change.standing.change.records:
        if record["day"] <= details.status_date:
            values: Mapping[str, object] = record
            rows.append({name: values[name] for name in (*EVENT, "agreed_ms")})
    return rows


def _without_margin(why: Reason | None, reason: Words) -> dict[str, str]:
    return {"margin": reason(why)} if why else {}


def change_shown_json(details: ChangeShown, *, reason: Words) -> Json:
    """Return one change with its life, prices, time by week and attachments."""
    facts = details.change.standing.change.facts
    return {
        "job": details.job,
        "status_date": details.status_date,
        **change_json(details.change),
        **margin_json(details.margin),
        "undefined": _without_margin(details.no_margin, reason),
        "description": facts["description"],
        "life": [_event(row) for row in life_of(details)],
        "prices": [_revision(each) for each in details.revisions],
        "weeks": [
            {"week_starting": week, "trade": trade, "hours": hours_4(ms)}
            for week, trade, ms in details.weeks
        ],
        "daywork": _daywork(details.daywork),
        "attachments": [
            {name: row[name] for name in ("id", "event", "day", "name", "sha256", "byte_count")}
            for row in details.attachments
        ],
        "known_at": known_at(details.stamp),
    }


def _daywork(daywork: DayworkShown | None) -> Json | None:
    """Return hours and amounts of daywork, its sheets and its items."""
    if daywork is None:
        return None
    now, value = daywork.now, daywork.now.value
    return {
        "hours_worked": hours_4(now.worked_ms),
        "hours_agreed": hours_4(now.agreed_ms),
        "hours_recorded": hours_4(now.witnessed_ms),
        "hours_unsigned": hours_4(now.unsigned_ms),
        "agreed": money(now.agreed),
        "above_cap": money(value.above_cap if value else None),
        "rest_of_estimate": money(value.rest if value else None),
        "unsigned": money(now.unsigned),
        "sheets": [_sheet(each) for each in daywork.sheets],
        "items": [_item(named, line) for named, line in daywork.items],
    }


def _sheet(sheet: SheetShown) -> Json:
    total, first = sheet.total, sheet.rows[0]
    rows = [
        {
            **{name: row[name] for name in ("id", "worker_id", "day")},
            "agreed_hours": hours_4(row["agreed_ms"]),
            **{name: row[name] for name in ("item", "agreed_quantity", "reason")},
        }
        for row in sheet.rows
    ]
    return {
        "daywork_sheet": first["daywork_sheet"],
        "from": first["day_from"],
        "to": first["day_to"],
        **{name: first[name] for name in ("agreed_on", "mark", "person")},
        "hours": hours_4(total.counted_ms),
        "hours_struck_off": hours_4(total.struck_ms),
        "rows": rows,
    }


def _item(named: str, line: ItemLine) -> Json:
    names = ("number", "day", "cost_kind", "description", "quantity", "unit", "unit_cost")
    record: Mapping[str, object] = line.record
    return {
        "id": named,
        **{name: record[name] for name in names},
        "amount": money(line.whole.amount),
        "agreed_quantity": line.agreed.quantity,
        "agreed_amount": money(line.agreed.amount),
        "reference": line.record["reference"],
    }


def _event(row: dict[str, Any]) -> Json:
    agreed_ms = row.pop("agreed_ms")
    return {**row, "agreed_value": money(row["agreed_value"]), "agreed_hours": hours_4(agreed_ms)}


def _revision(revision: Revision) -> Json:
    return {
        "revision": revision.number,
        "state": revision.state,
        "price": money(revision.net),
        "owner_text": list(revision.owner_texts),
        "lines": [line_json(line) for line in revision.lines],
    }


def line_json(line: YardPriceLine) -> Json:
    """Return a line of a price, with the percentage in it."""
    return {
        "price_kind": line.price_kind,
        "description": line.description,
        "trade": line.trade or None,
        "grade": line.grade or None,
        "hours": hours_4(line.hours_ms),
        "quantity": None if line.quantity is None else line.quantity.quantize(PARTS),
        "unit": line.unit or None,
        "unit_price": money(line.unit_price),
        "amount": money(line.amount),
        **_addition(line),
    }


def _addition(line: YardPriceLine) -> Json:
    """Return the percentage that a line holds or is, and what it is added to."""
    addition = line.addition
    return {
        "addition_percent": money(addition.percent) if addition else None,
        "addition_on": addition.on if addition else None,
        "addition_of": list(addition.of) if addition and line.price_kind == "addition" else None,
        "addition_method": addition.method if addition and line.price_kind == "addition" else None,
        "base": money(line.base),
    }


def money(amount: Decimal | None) -> Decimal | None:
    """Return an amount of 4 places."""
    return None if amount is None else amount.quantize(PLACES)


def hours_4(ms: int | None) -> Decimal | None:
    """Return a duration in hours of 4 places, None where there is none."""
    return None if ms is None else hours_of(ms, 4)
