"""The page of each kind of document."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from ledger.domain.allocation import shown_adding_to
from ledger.language import _, ngettext
from ledger.reports.dates import written
from ledger.reports.figures import hours, number_text
from ledger.reports.owner import document_views as views
from ledger.reports.owner import document_words as words
from ledger.reports.owner import wording
from ledger.reports.owner.claim_letter import claim_letter
from ledger.reports.owner.claim_view import ProgressClaim
from ledger.reports.owner.document_parts import (
    Letter,
    LetterPage,
    Signature,
    Terms,
    amount,
    described,
    letter_page,
    plain,
    planned_fact,
    price_fact,
    price_section,
    rests_on,
    time_fact,
)
from ledger.reports.owner.final_account_letter import final_letter
from ledger.reports.owner.final_account_view import FinalAccountLetter
from ledger.reports.page_parts import LINE_LENGTH
from ledger.reports.tables import Column, Fact, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut, visible_throughout

NOT_NAMED = "–"


def quotation_letter(view: views.Quotation) -> Letter:
    """Return the words of a quotation."""
    offer, head = view.offer, view.head
    until = written(view.valid_until) if view.valid_until else NOT_NAMED
    return Letter(
        title=_("Quotation"),
        opening=tuple(filter(None, (_offer_words(view), _(words.ROUGH) if offer.rough else ""))),
        figures=(
            price_fact(head, offer),
            time_fact(offer),
            Fact(_("Valid until"), until, "" if view.valid_until else _("no day named")),
            *planned_fact(offer),
        ),
        sections=(price_section(head, offer),),
        terms=(
            described(view.change, _("What is to be done")),
            rests_on(offer),
            Terms(_("Time"), tuple(filter(None, (_open_words(offer),)))),
        ),
        closing=_(words.OFFER_ENDS),
    )


def _offer_words(view: views.Quotation) -> str:
    offer = view.offer
    price = amount(view.head, abs(offer.price))
    if offer.estimated:
        return _(words.DAYWORK_OFFER).format(price=price)
    if view.change.change_basis == "no_charge":
        return _(words.FREE_OFFER)
    return (_(words.LESS_OFFER) if offer.price < 0 else _(words.FIXED_OFFER)).format(price=price)


def order_letter(view: views.VariationOrder) -> Letter:
    """Return the words of a variation order; proposed until it is approved."""
    head, offer, sums = view.head, view.offer, view.sums
    with_it = Fact(_("Contract sum with it"), amount(head, sums.after), _("without tax"))
    notes = [
        _daywork_words(view),
        _(words.ORDER_CAPPED) if offer.capped else "",
        _open_words(offer),
    ]
    return Letter(
        title=_("Variation order") if view.approval else _("Proposed variation order"),
        opening=(_order_words(view),),
        figures=(price_fact(head, offer), with_it, time_fact(offer), _completion_fact(view)),
        sections=(price_section(head, offer), _sums_section(view)),
        terms=(
            described(view.change, _("What is changed")),
            rests_on(offer),
            Terms(_("Price and time"), tuple(filter(None, notes))),
        ),
        signatures=(
            Signature(_for(head.owner), _(words.ORDER_SIGNED)),
            Signature(_for(head.yard.name), _(words.ORDER_SIGNED)),
        ),
    )


def _daywork_words(view: views.VariationOrder) -> str:
    """Return what is charged of an order of daywork, "" of another."""
    if not view.offer.estimated:
        return ""
    if view.sums.agreed_value is None:
        return _(words.ORDER_DAYWORK)
    value = amount(view.head, view.sums.agreed_value)
    return _(words.ORDER_VALUE_AGREED).format(price=value)


def _order_words(view: views.VariationOrder) -> str:
    if view.approval is None:
        return _(words.PROPOSED_ORDER)
    reference = cut(view.approval.reference, TEXT_LENGTH)
    by = f" ({reference})" if reference else ""
    return _(words.APPROVED_ORDER).format(day=written(view.approval.day), by=by)


def _completion_fact(view: views.VariationOrder) -> Fact:
    moved = view.completion
    if moved.agreed is None:
        return Fact(_("Completion date"), NOT_NAMED, _("the contract names none"))
    if view.offer.days is None:
        without = _("without it {day}").format(day=written(moved.before)) if moved.before else ""
        return Fact(_("Completion with it"), _("Time reserved"), without)
    after = written(moved.after) if moved.after else _("beyond the calendar")
    agreed = _("agreed {day}").format(day=written(moved.agreed))
    return Fact(_("Completion with it"), after, agreed)


def _sums_section(view: views.VariationOrder) -> Section:
    columns = (
        Column(_("Contract sum"), "text"),
        Column(_("Sum"), "money", cut(view.head.currency, NAME_LENGTH)),
    )
    sums, of_order = view.sums, _("This order")
    if view.offer.estimated:
        of_order = _("This order, at its estimate")
    moved = []
    if sums.agreed_since:
        by_value = sums.agreed_value is not None
        label = _("Value agreed since") if by_value else _("Agreed on daywork sheets since")
        against = _("{what}, against the estimate").format(what=label)
        moved = [Row((against, sums.agreed_since), "step")]
    rows = (
        Row((_("As adjusted by all other approved variations"), sums.before)),
        Row((of_order, view.offer.price), "step"),
        *moved,
        Row((_("With this order"), sums.after), "total"),
    )
    day = written(view.head.issued_on)
    caption = _("As recorded on {day}, without tax").format(day=day)
    return Section(_("Contract sum"), Table("Contract sum", caption, columns, rows))


def confirmation_letter(view: views.InstructionConfirmation) -> Letter:
    """Return the words of the letter that puts a verbal instruction in writing."""
    reference = cut(view.reference, TEXT_LENGTH)
    person = cut(view.given_by, NAME_LENGTH)
    instructed = _(words.INSTRUCTED).format(
        person=person, day=written(view.given_on), by=f" ({reference})" if reference else ""
    )
    doubts = [] if view.is_listed else [_(words.UNLISTED).format(person=person)]
    if view.counts_from:
        doubts.append(_(words.SILENCE).format(day=written(view.counts_from)))
    return Letter(
        title=_("Confirmation of verbal instruction"),
        opening=(instructed, *doubts, _(words.IF_WRONG)),
        terms=(
            described(view.change, _("What was instructed"), view.texts),
            Terms(_("Price and time"), _price_and_time(view)),
        ),
        signatures=(
            Signature(_for(view.head.owner), _(words.CONFIRMED)),
            Signature(_for(view.head.yard.name), _(words.CONFIRMED)),
        ),
        facts=(Fact(_("Instructed on"), written(view.given_on)), Fact(_("Instructed by"), person)),
    )


def _price_and_time(view: views.InstructionConfirmation | views.NoticeShown) -> tuple[str, ...]:
    offer = view.offer
    sentences = []
    if view.change.change_basis == "daywork":
        sentences.append(_(words.BY_THE_HOUR))
    if offer is None:
        sentences.append(_(words.NO_PRICE_YET))
    else:
        price = amount(view.head, offer.price)
        agreed = _(words.PRICE_AGREED) if offer.agreed else _(words.PRICE_NOT_AGREED)
        sentences.append(agreed.format(price=price, revision=offer.revision))
    return (*sentences, _time_words(offer))


def _open_words(offer: views.Offer) -> str:
    """Return what is said of days that a price leaves open, "" where it settles them."""
    if offer.days is not None:
        return ""
    if offer.days_requested:
        return _(words.TIME_ASKED).format(days=wording.days_words(offer.days_requested))
    return _(words.TIME_RESERVED)


def _time_words(offer: views.Offer | None) -> str:
    if offer is None or (offer.days is None and not offer.days_requested):
        return _(words.TIME_OPEN)
    if offer.days is None:
        return _open_words(offer)
    if offer.days_decided:
        granted = _(words.TIME_GRANTED).format(days=wording.days_words(offer.days))
        return granted if offer.days else _(words.NONE_GRANTED)
    offered = _(words.TIME_SAID).format(days=wording.days_words(offer.days))
    return offered if offer.days else _(words.NO_TIME)


def decision_letter(view: views.DecisionRequest) -> Letter:
    """Return the words of a request for a decision, with the answers to choose from."""
    offer, head = view.offer, view.head
    asked = _(words.DECIDE_SOON)
    if view.needed_by:
        asked = _(words.DECIDE_BY).format(day=written(view.needed_by))
    effects = [_(words.GOES_ON) if view.instructed else _(words.WAITS), _(words.LATER)]
    if offer and offer.planned_start:
        effects.insert(0, _(words.PLANNED).format(day=written(offer.planned_start)))
    choices = tuple(map(_, words.WITHOUT_PRICE))
    if offer:
        price = amount(head, offer.price)
        approve = _(words.APPROVE).format(price=price, revision=offer.revision)
        choices = (approve, _(words.DECLINE), _(words.DISCUSS))
        if offer.rough:
            choices = tuple(map(_, words.ON_A_ROUGH_PRICE))
    return Letter(
        title=_("Request for a decision"),
        opening=(asked, *([_(words.ROUGH)] if offer and offer.rough else [])),
        figures=_decision_figures(view),
        sections=(price_section(head, offer),) if offer else (),
        terms=(
            described(view.change, _("What is to be decided"), view.texts),
            *((rests_on(offer),) if offer else ()),
            Terms(_("What follows from it"), tuple(effects)),
        ),
        question=_("Your decision"),
        choices=choices,
        signatures=(Signature(_for(head.owner), _(words.DECIDED)),),
    )


def _decision_figures(view: views.DecisionRequest) -> tuple[Fact, ...]:
    by = written(view.needed_by) if view.needed_by else _("As soon as you can")
    needed = Fact(_("Decision needed by"), by)
    if view.offer is None:
        return (needed, Fact(_("Price"), _("To follow")))
    until = written(view.valid_until) if view.valid_until else NOT_NAMED
    valid = Fact(_("Price valid until"), until)
    return (needed, price_fact(view.head, view.offer), time_fact(view.offer), valid)


def notice_letter(view: views.NoticeShown) -> Letter:
    """Return the words of a notice of an event that may cost time or money."""
    title, effect = words.EFFECTS[view.effect]
    known = _price_and_time(view) if view.offer else (_(words.NOT_KNOWN),)
    return Letter(
        title=_(title),
        opening=(_(words.NOTICE).format(day=written(view.aware_on), effect=_(effect)),),
        terms=(
            described(view.change, _("What happened"), before=view.texts),
            Terms(_("What we know of its effect"), (*known, _(words.RIGHTS))),
        ),
        signatures=(
            Signature(_received_for(view.head.owner), _("Received.")),
            Signature(_for(view.head.yard.name), _("Sent.")),
        ),
        facts=(
            Fact(_("Became aware on"), written(view.aware_on)),
            Fact(_("Arises from"), _(wording.ORIGIN_WORDS[view.change.origin])),
        ),
    )


def sheet_letter(view: views.DayworkSheet) -> Letter:
    """Return the words of a daywork sheet, with a column to write what is agreed."""
    title, says, signed = map(_, words.SHEET_WORDS[view.mark])
    days = written(view.day_from)
    if view.day_to != view.day_from:
        days = _("{first} to {last}").format(first=days, last=written(view.day_to))
    tables = [_worked_section(view)] if view.worked else []
    tables += [_used_section(view)] if view.used else []
    return Letter(
        title=title,
        opening=(says, _(words.NOT_ON_THE_SHEET)),
        figures=(
            Fact(_("Days"), days),
            Fact(_("Hours"), f"{number_text(_hours_of(view))} h"),
            Fact(_("Materials, plant, subcontract"), _items_words(len(view.used))),
        ),
        sections=tuple(tables),
        terms=(described(view.change, _("The work")),),
        signatures=(
            Signature(_for(view.head.owner), signed),
            Signature(_for(view.head.yard.name), _("As recorded.")),
        ),
    )


def _items_words(count: int) -> str:
    return ngettext("{count} item", "{count} items", count).format(count=number_text(count))


def _to_fill_in(view: views.DayworkSheet, kind: str, unit: str = "") -> Column:
    """Return the column to write in: what is agreed, or on a record a remark of any length."""
    if view.mark == "agreed":
        return Column(_("Agreed"), kind, unit, missing="")
    return Column(_("Remark"), "remark", missing="")


def _worked_section(view: views.DayworkSheet) -> Section:
    columns = (
        Column(_("Day"), "standing"),
        Column(_("Worker"), "text"),
        Column(_("Trade"), "text"),
        Column(_("Hours"), "hours", "h"),
        _to_fill_in(view, "quantity", "h"),
    )
    rows = [
        Row(
            (
                written(row.day),
                _("Worker {number}").format(number=row.number),
                cut(row.trade, NAME_LENGTH).capitalize() or NOT_NAMED,
                worked,
                None,
            )
        )
        for row, worked in _hours_shown(view)
    ]
    rows.append(Row((_("Hours in all"), _hours_of(view), None), "total", 3))
    caption = _("Hours worked, each worker by a number on this sheet")
    return Section(_("Hours"), Table("Hours", caption, columns, tuple(rows)))


def _hours_shown(view: views.DayworkSheet) -> list[tuple[views.WorkedRow, Decimal]]:
    """Return the rows with their hours as shown: these add to the sum."""
    ms = [row.worked_ms for row in view.worked]
    return list(zip(view.worked, shown_adding_to(_hours_of(view), ms), strict=True))


def _hours_of(view: views.DayworkSheet) -> Decimal:
    return hours(sum(row.worked_ms for row in view.worked))


def _used_section(view: views.DayworkSheet) -> Section:
    columns = (
        Column(_("Day"), "standing"),
        Column(_("Item"), "text"),
        Column(_("Kind"), "basis"),
        Column(_("Quantity"), "quantity"),
        Column(_("Unit"), "unit"),
        _to_fill_in(view, "quantity"),
    )
    rows = tuple(
        Row(
            (
                written(row.day),
                _item_words(row),
                _(wording.PRICE_KIND_WORDS[row.item_kind]),
                plain(row.quantity, 0),
                cut(row.unit, NAME_LENGTH),
                None,
            )
        )
        for row in view.used
    )
    caption = _("Materials, plant and subcontract used")
    return Section(_("Items"), Table("Items", caption, columns, rows))


def _item_words(row: views.UsedRow) -> str:
    reference = f" ({cut(row.reference, NAME_LENGTH)})" if row.reference else ""
    return cut(row.description, TEXT_LENGTH) + reference


LETTERS: Mapping[type, Callable[[Any], Letter]] = {
    views.Quotation: quotation_letter,
    views.VariationOrder: order_letter,
    views.InstructionConfirmation: confirmation_letter,
    views.DecisionRequest: decision_letter,
    views.NoticeShown: notice_letter,
    views.DayworkSheet: sheet_letter,
    ProgressClaim: claim_letter,
    FinalAccountLetter: final_letter,
}


def _for(party: str) -> str:
    return _("For {party}").format(party=cut(party, LINE_LENGTH))


def _received_for(party: str) -> str:
    return _("Received for {party}").format(party=cut(party, LINE_LENGTH))


def document_page(view: Any) -> LetterPage:
    """Return a document ready to be shown; the digest is that of the view as it was given."""
    document = visible_throughout(view)
    change = getattr(document, "change", None)
    return letter_page(view, document.head, change, LETTERS[type(view)](document))
