"""Changes for machines: hours and money of 4 places, None with its reason where undefined."""

from decimal import Decimal
from typing import Any

from ledger.changes.sums import ContractSums
from ledger.commands.as_json import Json, known_at
from ledger.commands.changes import ChangeShown, ChangesKnown, Revision
from ledger.domain.allocation import hours_of
from ledger.performance.change_list import ListedChange

PLACES = Decimal("0.0001")
# The sums as they are named here, each with how it follows; omitted is what was taken out.
SUMS = (
    *("original_sum", "approved", "omitted", "daywork_movement", "adjusted_sum"),
    *("daywork_unsigned", "instructed_at_latest_price", "anticipated_final_sum", "submitted"),
)


def sums_named(original: Decimal, sums: ContractSums | None) -> dict[str, Decimal | None]:
    """Return the sums of a job by their names; without prices only the original one is known."""
    if sums is None:
        return {**dict.fromkeys(SUMS), "original_sum": original}
    amounts = (
        *(sums.original, sums.approved, -sums.omitted, sums.daywork_movement, sums.adjusted),
        *(sums.daywork_unsigned, sums.instructed, sums.anticipated_final, sums.submitted),
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
        "price": money_4(listed.amount),
        "hours_priced": hours_4(standing.hours_ms),
        "hours_booked": hours_4(listed.booked_ms),
        "hours_anticipated": hours_4(listed.anticipated_ms),
        "days_requested": standing.days_requested,
        "days_granted": standing.state.days_decided,
        "decision_needed_by": facts["decision_needed_by"],
        "exposure_hours": hours_4(listed.exposure.ms),
        "exposure": money_4(listed.exposure.value),
        "attention": [each.kind for each in listed.attention],
        "due": {each.kind: each.due for each in listed.attention if each.due},
    }


def changes_json(known: ChangesKnown) -> Json:
    """Return the changes of a job, and what its sum comes to."""
    listed = known.listed
    sums = sums_named(listed.original_sum, listed.sums)
    return {
        "job": listed.job,
        "status_date": listed.status_date,
        "changes": [change_json(each) for each in listed.changes],
        **{name: money_4(amount) for name, amount in sums.items()},
        "exposure_hours": hours_4(listed.exposure.ms),
        "exposure": money_4(listed.exposure.value),
        "completion_date": listed.completion.moved_to,
        "completion_date_original": listed.completion.agreed,
        "days_granted": listed.completion.days_granted,
        "undefined": listed.undefined,
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


EVENT = (
    *("day", "event", "revision", "person", "reference", "valid_until", "rough", "not_to_exceed"),
    *("condition", "days_requested", "days_granted", "agreed_value", "aware_on", "received_on"),
    *("document", "note"),
)


def life_of(shown: ChangeShown) -> list[dict[str, Any]]:
    """Return what happened to a change by the day, oldest first, the request before all."""
    facts = shown.change.standing.change.facts
    asked = {"day": facts["requested_on"], "event": "requested", "person": facts["requested_by"]}
    rows = [{**dict.fromkeys((*EVENT, "agreed_ms")), **asked}]
    for record in shown.change.standing.change.records:
        if record["day"] <= shown.status_date:
            rows.append({name: record[name] for name in (*EVENT, "agreed_ms")})
    return rows


def change_shown_json(shown: ChangeShown) -> Json:
    """Return one change with its life, prices, time by week and attachments."""
    facts = shown.change.standing.change.facts
    return {
        "job": shown.job,
        "status_date": shown.status_date,
        **change_json(shown.change),
        "description": facts["description"],
        "life": [_event(row) for row in life_of(shown)],
        "prices": [_revision(each) for each in shown.revisions],
        "weeks": [
            {"week_starting": week, "trade": trade, "hours": hours_4(ms)}
            for week, trade, ms in shown.weeks
        ],
        "attachments": [
            {name: row[name] for name in ("id", "event", "day", "name", "sha256", "byte_count")}
            for row in shown.attachments
        ],
        "known_at": known_at(shown.stamp),
    }


def _event(row: dict[str, Any]) -> Json:
    agreed_ms = row.pop("agreed_ms")
    return {**row, "agreed_value": money_4(row["agreed_value"]), "agreed_hours": hours_4(agreed_ms)}


def _revision(revision: Revision) -> Json:
    return {
        "revision": revision.number,
        "state": revision.state,
        "price": money_4(revision.net),
        "lines": [
            {
                "price_kind": line.price_kind,
                "description": line.description,
                "trade": line.trade or None,
                "grade": line.grade or None,
                "hours": hours_4(line.hours_ms),
                "quantity": line.quantity,
                "unit": line.unit or None,
                "unit_price": money_4(line.unit_price),
                "amount": money_4(line.amount),
            }
            for line in revision.lines
        ],
    }


def money_4(amount: Decimal | None) -> Decimal | None:
    """Return an amount of 4 places, None where there is none."""
    return None if amount is None else amount.quantize(PLACES)


def hours_4(ms: int | None) -> Decimal | None:
    """Return a duration in hours of 4 places, None where there is none."""
    return None if ms is None else hours_of(ms, 4)
