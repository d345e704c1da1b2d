"""The page of each kind of document."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from ledger.domain.allocation import shown_adding_to
from ledger.reports.figures import hours, number_text
from ledger.reports.owner import document_views as views
from ledger.reports.owner import document_words as words
from ledger.reports.owner import wording
from ledger.reports.owner.claim_letter import claim_letter
from ledger.reports.owner.claim_view import ProgressClaim
from ledger.reports.owner.dates import written
from ledger.reports.owner.document_parts import (
    Letter,
    LetterPage,
    Signature,
    Terms,
    amount,
    days_words,
    described,
    letter_page,
    plain,
    planned_fact,
    price_fact,
    price_section,
    rests_on,
    time_fact,
)
from ledger.reports.page_parts import LINE_LENGTH
from ledger.reports.tables import Column, Fact, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut, visible_throughout

NOT_NAMED = "–"


def quotation_letter(view: views.Quotation) -> Letter:
    """Return the words of a quotation."""
    offer, head = view.offer, view.head
    until = written(view.valid_until) if view.valid_until else NOT_NAMED
    return Letter(
        title="Quotation",
        opening=tuple(filter(None, (_offer_words(view), words.ROUGH if offer.rough else ""))),
        figures=(
            price_fact(head, offer),
            time_fact(offer),
            Fact("Valid until", until, "" if view.valid_until else "no day named"),
            *planned_fact(offer),
        ),
        sections=(price_section(head, offer),),
        terms=(
            described(view.change, "What is to be done"),
            rests_on(offer),
            Terms("Time", (words.TIME_RESERVED,) if offer.days is None else ()),
        ),
        closing=words.OFFER_ENDS,
    )


def _offer_words(view: views.Quotation) -> str:
    offer = view.offer
    price = amount(view.head, abs(offer.price))
    if offer.estimated:
        return words.DAYWORK_OFFER.format(price=price)
    if view.change.change_basis == "no_charge":
        return words.FREE_OFFER
    return (words.LESS_OFFER if offer.price < 0 else words.FIXED_OFFER).format(price=price)


def order_letter(view: views.VariationOrder) -> Letter:
    """Return the words of a variation order; proposed until it is approved."""
    head, offer, sums = view.head, view.offer, view.sums
    with_it = Fact("Contract sum with it", amount(head, sums.after), "without tax")
    notes = [
        words.ORDER_DAYWORK if offer.estimated else "",
        words.ORDER_CAPPED if offer.capped else "",
        words.TIME_RESERVED if offer.days is None else "",
    ]
    return Letter(
        title="Variation order" if view.approval else "Proposed variation order",
        opening=(_order_words(view),),
        figures=(price_fact(head, offer), with_it, time_fact(offer), _completion_fact(view)),
        sections=(price_section(head, offer), _sums_section(view)),
        terms=(
            described(view.change, "What is changed"),
            rests_on(offer),
            Terms("Price and time", tuple(filter(None, notes))),
        ),
        signatures=(
            Signature(f"For {cut(head.owner, LINE_LENGTH)}", words.ORDER_SIGNED),
            Signature(f"For {cut(head.yard.name, LINE_LENGTH)}", words.ORDER_SIGNED),
        ),
    )


def _order_words(view: views.VariationOrder) -> str:
    if view.approval is None:
        return words.PROPOSED_ORDER
    reference = cut(view.approval.reference, TEXT_LENGTH)
    by = f" ({reference})" if reference else ""
    return words.APPROVED_ORDER.format(day=written(view.approval.day), by=by)


def _completion_fact(view: views.VariationOrder) -> Fact:
    moved = view.completion
    if moved.agreed is None:
        return Fact("Completion date", NOT_NAMED, "the contract names none")
    if view.offer.days is None:
        before = f"without it {written(moved.before)}" if moved.before else ""
        return Fact("Completion with it", "Time reserved", before)
    after = written(moved.after) if moved.after else "beyond the calendar"
    return Fact("Completion with it", after, f"agreed {written(moved.agreed)}")


def _sums_section(view: views.VariationOrder) -> Section:
    columns = (
        Column("Contract sum", "text"),
        Column("Sum", "money", cut(view.head.currency, NAME_LENGTH)),
    )
    rows = (
        Row(("As adjusted by all other approved variations", view.sums.before)),
        Row(("This order", view.offer.price), "step"),
        Row(("With this order", view.sums.after), "total"),
    )
    caption = f"As recorded on {written(view.head.issued_on)}, without tax"
    return Section("Contract sum", Table("Contract sum", caption, columns, rows))


def confirmation_letter(view: views.InstructionConfirmation) -> Letter:
    """Return the words of the letter that puts a verbal instruction in writing."""
    reference = cut(view.reference, TEXT_LENGTH)
    person = cut(view.given_by, NAME_LENGTH)
    said = words.INSTRUCTED.format(
        person=person, day=written(view.given_on), by=f" ({reference})" if reference else ""
    )
    doubts = [] if view.is_listed else [words.UNLISTED.format(person=person)]
    if view.counts_from:
        doubts.append(words.SILENCE.format(day=written(view.counts_from)))
    return Letter(
        title="Confirmation of verbal instruction",
        opening=(said, *doubts, words.IF_WRONG),
        terms=(
            described(view.change, "What was instructed", view.texts),
            Terms("Price and time", _price_and_time(view)),
        ),
        signatures=(
            Signature(f"For {cut(view.head.owner, LINE_LENGTH)}", words.CONFIRMED),
            Signature(f"For {cut(view.head.yard.name, LINE_LENGTH)}", words.CONFIRMED),
        ),
        facts=(Fact("Instructed on", written(view.given_on)), Fact("Instructed by", person)),
    )


def _price_and_time(view: views.InstructionConfirmation | views.Notice) -> tuple[str, ...]:
    offer = view.offer
    said = []
    if view.change.change_basis == "daywork":
        said.append(words.BY_THE_HOUR)
    if offer is None:
        said.append(words.NO_PRICE_YET)
    else:
        price = amount(view.head, offer.price)
        agreed = words.PRICE_AGREED if offer.agreed else words.PRICE_NOT_AGREED
        said.append(agreed.format(price=price, revision=offer.revision))
    return (*said, _time_words(offer))


def _time_words(offer: views.Offer | None) -> str:
    if offer is None or offer.days is None:
        return words.TIME_OPEN
    return words.TIME_SAID.format(days=days_words(offer.days)) if offer.days else words.NO_TIME


def decision_letter(view: views.DecisionRequest) -> Letter:
    """Return the words of a request for a decision, with the answers to choose from."""
    offer, head = view.offer, view.head
    asked = words.DECIDE_SOON
    if view.needed_by:
        asked = words.DECIDE_BY.format(day=written(view.needed_by))
    effects = [words.GOES_ON if view.instructed else words.WAITS, words.LATER]
    if offer and offer.planned_start:
        effects.insert(0, words.PLANNED.format(day=written(offer.planned_start)))
    choices: tuple[str, ...] = (
        words.GO_AHEAD,
        words.PRICE_FIRST,
        words.NOT_WANTED,
        words.OTHERWISE,
    )
    if offer:
        price = amount(head, offer.price)
        approve = words.APPROVE.format(price=price, revision=offer.revision)
        choices = (approve, words.DECLINE, words.DISCUSS)
        if offer.rough:
            choices = words.ON_A_ROUGH_PRICE
    return Letter(
        title="Request for a decision",
        opening=(asked, *([words.ROUGH] if offer and offer.rough else [])),
        figures=_decision_figures(view),
        sections=(price_section(head, offer),) if offer else (),
        terms=(
            described(view.change, "What is to be decided", view.texts),
            *((rests_on(offer),) if offer else ()),
            Terms("What follows from it", tuple(effects)),
        ),
        question="Your decision",
        choices=choices,
        signatures=(Signature(f"For {cut(head.owner, LINE_LENGTH)}", words.DECIDED),),
    )


def _decision_figures(view: views.DecisionRequest) -> tuple[Fact, ...]:
    by = written(view.needed_by) if view.needed_by else "As soon as you can"
    needed = Fact("Decision needed by", by)
    if view.offer is None:
        return (needed, Fact("Price", "To follow"))
    until = written(view.valid_until) if view.valid_until else NOT_NAMED
    valid = Fact("Price valid until", until)
    return (needed, price_fact(view.head, view.offer), time_fact(view.offer), valid)


def notice_letter(view: views.Notice) -> Letter:
    """Return the words of a notice of an event that may cost time or money."""
    what, effect = words.EFFECTS[view.effect]
    known = words.NOT_KNOWN
    said: tuple[str, ...] = (known, words.RIGHTS)
    if view.offer:
        said = (*_price_and_time(view), words.RIGHTS)
    return Letter(
        title=f"Notice of an event that may cost {what}",
        opening=(words.NOTICE.format(day=written(view.aware_on), effect=effect),),
        terms=(
            described(view.change, "What happened", before=view.texts),
            Terms("What we know of its effect", said),
        ),
        signatures=(
            Signature(f"Received for {cut(view.head.owner, LINE_LENGTH)}", "Received."),
            Signature(f"For {cut(view.head.yard.name, LINE_LENGTH)}", "Sent."),
        ),
        facts=(
            Fact("Became aware on", written(view.aware_on)),
            Fact("Arises from", wording.ORIGIN_WORDS[view.change.origin]),
        ),
    )


def sheet_letter(view: views.DayworkSheet) -> Letter:
    """Return the words of a daywork sheet, with a column to write what is agreed."""
    mark, says, signed = words.SHEET_WORDS[view.mark]
    days = written(view.day_from)
    if view.day_to != view.day_from:
        days = f"{days} to {written(view.day_to)}"
    total = hours(sum(row.worked_ms for row in view.worked))
    tables = [_worked_section(view)] if view.worked else []
    tables += [_used_section(view)] if view.used else []
    return Letter(
        title=f"Daywork sheet {mark}",
        opening=(says, words.NOT_ON_THE_SHEET),
        figures=(
            Fact("Days", days),
            Fact("Hours", f"{number_text(total)} h"),
            Fact("Materials, plant, subcontract", _items_words(len(view.used))),
        ),
        sections=tuple(tables),
        terms=(described(view.change, "The work"),),
        signatures=(
            Signature(f"For {cut(view.head.owner, LINE_LENGTH)}", signed),
            Signature(f"For {cut(view.head.yard.name, LINE_LENGTH)}", "As recorded."),
        ),
    )


def _items_words(count: int) -> str:
    return "1 item" if count == 1 else f"{number_text(count)} items"


def _to_fill_in(view: views.DayworkSheet, kind: str, unit: str = "") -> Column:
    head = "Agreed" if view.mark == "agreed" else "Remark"
    return Column(head, kind, unit if view.mark == "agreed" else "", missing="")


def _worked_section(view: views.DayworkSheet) -> Section:
    columns = (
        Column("Day", "standing"),
        Column("Worker", "text"),
        Column("Trade", "text"),
        Column("Hours", "hours", "h"),
        _to_fill_in(view, "quantity", "h"),
    )
    rows = [
        Row(
            (
                written(row.day),
                f"Worker {row.number}",
                cut(row.trade, NAME_LENGTH).capitalize() or NOT_NAMED,
                shown,
                None,
            )
        )
        for row, shown in _hours_shown(view)
    ]
    total = sum(
        (row.cells[3] for row in rows if isinstance(row.cells[3], Decimal)), Decimal("0.00")
    )
    rows.append(Row(("Hours in all", total, None), "total", 3))
    caption = "Hours worked, each worker by a number on this sheet"
    return Section("Hours", Table("Hours", caption, columns, tuple(rows)))


def _hours_shown(view: views.DayworkSheet) -> list[tuple[views.WorkedRow, Decimal]]:
    ms = [row.worked_ms for row in view.worked]
    return list(zip(view.worked, shown_adding_to(hours(sum(ms)), ms), strict=True))


def _used_section(view: views.DayworkSheet) -> Section:
    columns = (
        Column("Day", "standing"),
        Column("Item", "text"),
        Column("Kind", "basis"),
        Column("Quantity", "quantity"),
        Column("Unit", "unit"),
        _to_fill_in(view, "quantity"),
    )
    rows = tuple(
        Row(
            (
                written(row.day),
                _item_words(row),
                wording.PRICE_KIND_WORDS[row.item_kind],
                plain(row.quantity, 0),
                cut(row.unit, NAME_LENGTH),
                None,
            )
        )
        for row in view.used
    )
    caption = "Materials, plant and subcontract used"
    return Section("Items", Table("Items", caption, columns, rows))


def _item_words(row: views.UsedRow) -> str:
    reference = f" ({cut(row.reference, NAME_LENGTH)})" if row.reference else ""
    return cut(row.description, TEXT_LENGTH) + reference


LETTERS: Mapping[type, Callable[[Any], Letter]] = {
    views.Quotation: quotation_letter,
    views.VariationOrder: order_letter,
    views.InstructionConfirmation: confirmation_letter,
    views.DecisionRequest: decision_letter,
    views.Notice: notice_letter,
    views.DayworkSheet: sheet_letter,
    ProgressClaim: claim_letter,
}


def document_page(view: Any) -> LetterPage:
    """Return a document ready to be shown; the digest is that of the view as it was given."""
    shown = visible_throughout(view)
    change = getattr(shown, "change", None)
    return letter_page(view, shown.head, change, LETTERS[type(view)](shown))
