"""What must agree within an owner's statement before it is shown to anybody."""

from collections.abc import Iterator

from ledger.domain.change_life import CHANGE_BASES, ORIGINS
from ledger.domain.contracts import CONTRACT_BASES
from ledger.reports.owner.variations_rows import DayworkDetail, Statement
from ledger.reports.owner.words import (
    CHANGE_STEPS,
    ESTIMATE_STEPS,
    EVENTS,
    INSTRUCTIONS,
    NOT_CHARGED_STEPS,
    OPEN_MATTERS,
    OVERRUN_STEPS,
    PRICE_KINDS,
    STATES,
    SUM_STEPS,
)


def disagreements(view: Statement) -> Iterator[str]:
    """Yield each thing in the statement that does not agree with the rest of it."""
    words = list(unknown_words(view))
    yield from words
    if words:  # The sums look their rows up by these words.
        return
    yield from hours_that_do_not_add(view)
    yield from sums_that_do_not_add(view)
    yield from headline_that_does_not_add(view)
    yield from changes_that_do_not_add(view)
    yield from awaiting_that_do_not_add(view)
    yield from matters_that_do_not_add(view)
    yield from details_that_do_not_add(view)
    yield from moved_that_is_not_listed(view)


def unknown_words(view: Statement) -> Iterator[str]:
    expected = CHANGE_STEPS if view.headline is None else ESTIMATE_STEPS + OVERRUN_STEPS
    steps = tuple(row.step for row in view.hours)
    if steps != expected:
        yield f"steps of the hours are {', '.join(steps)}, not {', '.join(expected)}"
    steps = tuple(row.step for row in view.sums)
    if steps != SUM_STEPS:
        yield f"steps of the sum are {', '.join(steps)}, not {', '.join(SUM_STEPS)}"
    yield from unknown("contract basis", view.job.contract_basis, CONTRACT_BASES)
    for reason in view.not_charged:
        yield from unknown("reason not charged", reason.step, NOT_CHARGED_STEPS)
    for matter in view.open_matters:
        yield from unknown("open matter", matter.matter, OPEN_MATTERS)
    for row in view.changes:
        yield from unknown("state", row.state, STATES)
        yield from unknown("instruction", row.instruction, INSTRUCTIONS)
        yield from unknown("basis", row.change_basis, CHANGE_BASES)
    for detail in view.details:
        yield from unknown("origin", detail.origin, ORIGINS)
        for line in (*detail.lines, *(detail.daywork.lines if detail.daywork else ())):
            yield from unknown("kind of price", line.price_kind, PRICE_KINDS)
        for event in detail.history:
            yield from unknown("event", event.event, EVENTS)


def unknown(what: str, word: str, known: tuple[str, ...]) -> Iterator[str]:
    if word not in known:
        yield f'{what} "{word}" is unknown; use one of {", ".join(known)}'


def hours_that_do_not_add(view: Statement) -> Iterator[str]:
    if view.headline is None:
        return
    hours = {row.step: row.hours_ms for row in view.hours}
    adjusted = sum(hours[step] for step in ESTIMATE_STEPS[:-1])
    if hours["adjusted_estimate"] != adjusted:
        yield f"adjusted estimate is {hours['adjusted_estimate']} ms, its steps add to {adjusted}"
    final = adjusted + sum(hours[step] for step in OVERRUN_STEPS[:-1])
    if hours["anticipated_final"] != final:
        yield f"anticipated final is {hours['anticipated_final']} ms, its steps add to {final}"


def sums_that_do_not_add(view: Statement) -> Iterator[str]:
    sums = {row.step: row.amount for row in view.sums}
    adjusted = sum(sums[step] for step in SUM_STEPS[:4])
    if sums["adjusted_contract_sum"] != adjusted:
        yield f"adjusted sum is {sums['adjusted_contract_sum']}, its steps add to {adjusted}"
    final = adjusted + sum(sums[step] for step in SUM_STEPS[5:8])
    if sums["anticipated_final_sum"] != final:
        yield f"anticipated final sum is {sums['anticipated_final_sum']}, its steps add to {final}"


def headline_that_does_not_add(view: Statement) -> Iterator[str]:
    free = sum(row.hours_ms for row in view.not_charged)
    if view.headline is None:
        if view.not_charged:
            yield "hours not charged are listed although the owner is not shown how hours run"
        return
    line = view.headline
    hours = {row.step: row.hours_ms for row in view.hours}
    more = hours["anticipated_final"] - hours["original_budget"]
    if line.more_than_estimated_ms != more:
        yield f"the headline says {line.more_than_estimated_ms} ms more, the steps say {more}"
    split = line.paid_ms + line.not_charged_ms + line.undecided_ms
    if split != line.more_than_estimated_ms:
        yield f"paid, not charged and undecided add to {split} ms"
    if free != line.not_charged_ms:
        yield f"reasons not charged add to {free} ms, the headline says {line.not_charged_ms}"


def changes_that_do_not_add(view: Statement) -> Iterator[str]:
    approved = [row for row in view.changes if row.state == "approved"]
    if any(row.hours_ms is None or row.price is None for row in approved):
        yield "an approved change is without hours or price"
    shown_ms = sum(row.hours_ms or 0 for row in approved)
    steps_ms = sum(row.hours_ms for row in view.hours if row.step in CHANGE_STEPS)
    if shown_ms != steps_ms:
        yield f"approved changes add to {shown_ms} ms, the steps to {steps_ms}"
    counted = sum(row.price or 0 for row in view.changes if row.is_ordered)
    instructed = view.sums[SUM_STEPS.index("instructed_at_latest_price")].amount
    if counted != instructed:
        yield f"instructed requests add to {counted}, the step of the sum is {instructed}"
    added_up = sum((row.price or 0 for row in approved), view.unspent)
    steps = sum(row.amount for row in view.sums if row.step in SUM_STEPS[1:4])
    if added_up != steps:
        yield f"approved changes add to {added_up}, the steps of the sum to {steps}"


def awaiting_that_do_not_add(view: Statement) -> Iterator[str]:
    waiting = view.awaiting
    listed = {
        (row.change, row.hours_ms, row.price, row.is_ordered)
        for row in view.changes
        if row.state == "submitted"
    }
    if listed != {(row.change, row.hours_ms, row.price, row.instructed) for row in waiting}:
        yield "requests awaiting a decision are not those listed as submitted"
    if sorted(waiting, key=lambda row: row.submitted_on) != list(waiting):
        yield "requests awaiting a decision do not begin with the oldest"
    added_up = sum(row.price for row in waiting if not row.instructed)
    step = view.sums[-1].amount
    if added_up != step:
        yield f"requests awaiting a decision add to {added_up}, the sum says {step}"


def matters_that_do_not_add(view: Statement) -> Iterator[str]:
    listed = [(each.change, each.matter) for each in view.open_matters]
    expected = [(row.change, row.open_matter) for row in view.changes if row.open_matter]
    if [each for each in listed if each[1] != "daywork_unsigned"] != expected:
        yield f"open matters are {listed}, the changes have {expected}"
    rows = {row.change: row for row in view.changes}
    for matter in view.open_matters:
        row = rows.get(matter.change)
        open_at = (matter.hours_ms, matter.amount)
        if row and not matter.indicative and open_at != (row.hours_ms, row.price):
            yield f"{matter.change}: open at other hours or another price than it is listed with"
        signed = row is None or row.state != "approved" or not row.estimated
        if matter.matter == "daywork_unsigned" and signed:
            yield f"{matter.change}: daywork that is not to be signed is open"
    unsigned = [each for each in view.open_matters if each.matter == "daywork_unsigned"]
    added_up = sum(each.amount or 0 for each in unsigned)
    step = view.sums[SUM_STEPS.index("daywork_unsigned")].amount
    if added_up != step:
        yield f"daywork to be signed adds to {added_up}, the step of the sum is {step}"


def details_that_do_not_add(view: Statement) -> Iterator[str]:
    listed = [row.change for row in view.changes]
    detailed = [detail.change for detail in view.details]
    if listed != detailed:
        yield f"changes are {', '.join(listed)}, their details {', '.join(detailed)}"
        return
    for row, detail in zip(view.changes, view.details, strict=True):
        made_up = sum(line.amount for line in detail.lines)
        price = None if detail.revision is None else made_up
        if detail.agreed_value is not None:
            sums = [each.amount for each in detail.lines if each.price_kind == "provisional_sum"]
            price = detail.agreed_value + sum(sums)
        if detail.daywork is not None:
            yield from daywork_that_does_not_add(detail.change, detail.daywork)
            price = detail.daywork.price if detail.daywork.in_sum else price
        if row.price != price:
            yield f"{row.change}: its price is {row.price}, its lines add to {made_up}"
        days = [event.day for event in detail.history]
        if days != sorted(days):
            yield f"{row.change}: its history is not in the order of its days"


def moved_that_is_not_listed(view: Statement) -> Iterator[str]:
    if view.moved is None:
        return
    for each in view.moved.changes:
        if each.now not in view.changes:
            yield f"{each.now.change}: is said to have moved, and is listed otherwise"
        if each.before == each.now:
            yield f"{each.now.change}: is said to have moved, and has not"


def daywork_that_does_not_add(change: str, daywork: DayworkDetail) -> Iterator[str]:
    lines = sum(line.amount for line in daywork.lines) - daywork.above_cap
    if lines != daywork.agreed:
        yield f"{change}: {daywork.agreed} is agreed on sheets, their lines add to {lines}"
    hours_ms = sum(line.hours_ms or 0 for line in daywork.lines)
    if hours_ms != daywork.agreed_ms:
        yield f"{change}: {daywork.agreed_ms} ms are agreed, the lines have {hours_ms} ms"
