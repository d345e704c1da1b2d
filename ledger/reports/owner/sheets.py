"""Each change of the owner's statement by itself: where it stands, its price and its history."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from ledger.domain.allocation import shown_adding_to
from ledger.domain.pricing import PriceLine
from ledger.language import _
from ledger.reports.dates import written
from ledger.reports.figures import hours, number_text
from ledger.reports.owner import wording
from ledger.reports.owner.change_tables import anchor, change_hours, in_listed_order
from ledger.reports.owner.tables import amount, money, nil
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import ChangeDetail, ChangeRow, DayworkDetail
from ledger.reports.tables import Column, Fact, Row, Sheet, Table
from ledger.reports.text import DESCRIPTION_LENGTH, NAME_LENGTH, TEXT_LENGTH, cut

NOT_KNOWN = "–"
HEAD_FACTS = 6  # How many stand in the head of a change; the template names the same number.
REFERENCE_LENGTH = 80
OF_A_SUM = "provisional_sum"


def sheets(view: OwnerVariations) -> tuple[Sheet, ...]:
    """Return a sheet for each change, in the order of the list."""
    row_hours = change_hours(view)
    return tuple(sheet(view, place, row_hours[place]) for place in in_listed_order(view))


def sheet(view: OwnerVariations, place: int, worked: Decimal | None) -> Sheet:
    row, detail = view.changes[place], view.details[place]
    return Sheet(
        anchor=anchor(place),
        code=cut(row.change, NAME_LENGTH),
        kind=wording.kind_words(row),
        title=f"{cut(row.change, NAME_LENGTH)} · {cut(row.title, TEXT_LENGTH)}",
        facts=tuple(facts(view, row, detail, worked)),
        texts=(*texts(row, detail), *matters(view, row)),
        tables=(price_table(view, row, detail), history_table(view, detail)),
    )


def facts(
    view: OwnerVariations, row: ChangeRow, detail: ChangeDetail, worked: Decimal | None
) -> list[Fact]:
    """Return where the change stands and what it comes to, `HEAD_FACTS` of them always."""
    listed = [
        Fact(_("Status"), wording.state_words(row)),
        Fact(_("Basis"), wording.basis_words(row)),
        Fact(_("Origin"), _(wording.ORIGIN_WORDS[detail.origin])),
        Fact(_("Days"), wording.days_of(row, detail) or NOT_KNOWN),
        Fact(_("Hours"), NOT_KNOWN if worked is None else f"{number_text(worked)} h"),
        Fact(_("Price"), NOT_KNOWN if row.price is None else amount(view, row.price)),
    ]
    if detail.decision_needed_by:
        listed.append(Fact(_("Decision needed by"), written(detail.decision_needed_by)))
    if detail.agreed_ms is not None:
        listed.append(Fact(_("Hours agreed"), f"{number_text(hours(detail.agreed_ms))} h"))
    if detail.cap is not None:
        listed.append(Fact(_("Not to exceed"), amount(view, detail.cap)))
    if detail.daywork is not None:
        listed += daywork_facts(detail.daywork)
    if detail.worked_ms is not None:
        listed.append(Fact(_("Worked so far"), f"{number_text(hours(detail.worked_ms))} h"))
    return listed


def texts(row: ChangeRow, detail: ChangeDetail) -> tuple[str, ...]:
    """Return what is to be done, and why its hours are not those of its price."""
    described = cut(detail.description, DESCRIPTION_LENGTH)
    lines_ms = sum(line.hours_ms or 0 for line in detail.lines)
    note = ""
    if row.state == "approved" and row.hours_ms is not None and row.hours_ms != lines_ms:
        stopped = row.instruction == "stopped"
        words = _(wording.STOPPED_NOTE) if stopped else _(wording.EARNED_NOTE)
        note = words.format(
            priced=number_text(hours(lines_ms)), counted=number_text(hours(row.hours_ms))
        )
    written = (cut(text, DESCRIPTION_LENGTH) for text in detail.owner_texts)
    return tuple(filter(None, (described, *written, note)))


def matters(view: OwnerVariations, row: ChangeRow) -> tuple[str, ...]:
    """Return what is open about the change, in the words of the list of open matters."""
    return tuple(
        f"{_(wording.MATTER_WORDS[each.matter])}. {wording.matter_effect(each, row)}"
        for each in view.open_matters
        if each.change == row.change
    )


def price_table(view: OwnerVariations, row: ChangeRow, detail: ChangeDetail) -> Table:
    """Return how the price is made up; its lines add to it."""
    columns = (
        Column(_("Item"), "text"),
        Column(_("Kind"), "basis"),
        Column(_("Quantity"), "quantity"),
        Column(_("Unit"), "unit"),
        Column(_("Rate"), "rate", cut(view.job.currency, NAME_LENGTH)),
        money(_("Amount"), view.job),
    )
    made = [(line, price_row(line, line_hours)) for line, line_hours in labour_hours(detail)]
    omitted = [row for line, row in made if line.price_kind == OF_A_SUM]
    rows = [row for line, row in made if line.price_kind != OF_A_SUM]
    if detail.agreed_value is not None:
        rows += agreed_rows(view, detail, omitted)
    elif detail.daywork is not None and detail.daywork.in_sum:
        rows += daywork_rows(view, detail, omitted)
    elif made:
        made_up = sum((line.amount for line in detail.lines), nil(view))
        rows += [*omitted, Row((_("Price"), made_up), "total", 5)]
    if detail.daywork is not None and not detail.daywork.in_sum:
        heads = wording.AGREED_APART, wording.AGREED_APART_TOTAL
        rows += apart_rows(view, heads, detail.daywork.lines)
    rows += apart_rows(view, (wording.NOT_AGREED, wording.NOT_AGREED_TOTAL), detail.not_agreed)
    caption = _("Price build-up, without tax; work taken out has a minus sign")
    empty = _(wording.NO_PRICE) if detail.revision is None else _(wording.NO_LINES)
    return Table("Price lines", caption, columns, tuple(rows), empty)


def apart_rows(
    view: OwnerVariations, heads: tuple[str, str], lines: Sequence[PriceLine]
) -> Iterator[Row]:
    """Yield daywork done that makes up no price: its head, hours x rate, and their sum."""
    if not lines:
        return
    head, total = heads
    yield Row((_(head),), "group", 6)
    for line in lines:
        worked = None if line.hours_ms is None else hours(line.hours_ms)
        yield replace(price_row(line, worked), kind="aside")
    ms = sum(line.hours_ms or 0 for line in lines)
    value = sum((line.amount for line in lines), nil(view))
    yield Row((_(total).format(number_text(hours(ms))), value), "aside", 5)


def daywork_facts(daywork: DayworkDetail) -> Iterator[Fact]:
    """Yield on which sheets hours are agreed, and on which they are recorded alone."""
    for label, sheets, ms in (
        (_(wording.AGREED_ON), daywork.agreed_on, daywork.agreed_ms),
        (_(wording.RECORDED_ON), daywork.recorded_on, daywork.recorded_ms),
    ):
        if sheets:
            named = cut(", ".join(sheets), TEXT_LENGTH)
            yield Fact(label, f"{named}: {number_text(hours(ms))} h" if ms else named)


def daywork_rows(
    view: OwnerVariations, detail: ChangeDetail, omitted: Sequence[Row]
) -> Iterator[Row]:
    """Yield how sheets and what is left of the estimate make up the place of daywork."""
    assert detail.daywork is not None
    daywork, nothing = detail.daywork, nil(view)
    own = [line.amount for line in detail.lines if line.price_kind != OF_A_SUM]
    of_sums = sum((x.amount for x in detail.lines if x.price_kind == OF_A_SUM), nothing)
    if own:
        yield Row((_(wording.ESTIMATE), sum(own, nothing)), "subtotal", 5)
    # Each line is its own reckoning: hours as rounded for it, times its rate.
    for line in daywork.lines:
        yield price_row(line, hours(line.hours_ms or 0))
    yield Row((_(wording.AGREED_ON), daywork.agreed + daywork.above_cap), "subtotal", 5)
    for label, value in (
        (_(wording.ABOVE_CAP), -daywork.above_cap),
        (_(wording.REST), daywork.rest),
        (_(wording.TAKEN_OUT), daywork.taken_out - of_sums),
    ):
        if value:
            yield Row((label, value), "subtotal", 5)
    yield from omitted
    yield Row((_("Price"), daywork.price), "total", 5)


def agreed_rows(
    view: OwnerVariations, detail: ChangeDetail, omitted: Sequence[Row]
) -> Iterator[Row]:
    """Yield the estimate, the value agreed in its place, and what it omits of provisional sums."""
    assert detail.agreed_value is not None
    own = [line.amount for line in detail.lines if line.price_kind != OF_A_SUM]
    if own:
        yield Row((_("Estimate"), sum(own, nil(view))), "subtotal", 5)
    yield Row((_("Agreed value"), detail.agreed_value), "subtotal" if omitted else "total", 5)
    if omitted:
        yield from omitted
        sums = (line.amount for line in detail.lines if line.price_kind == OF_A_SUM)
        yield Row((_("Price"), sum(sums, detail.agreed_value)), "total", 5)


def labour_hours(detail: ChangeDetail) -> list[tuple[PriceLine, Decimal | None]]:
    """Return the lines with the hours of each labour line as shown: they add to their sum."""
    ms = [line.hours_ms for line in detail.lines if line.hours_ms is not None]
    rounded = iter(shown_adding_to(hours(sum(ms)), ms))
    return [(line, None if line.hours_ms is None else next(rounded)) for line in detail.lines]


def price_row(line: PriceLine, worked: Decimal | None) -> Row:
    kind = _(wording.PRICE_KIND_WORDS[line.price_kind])
    described = wording.line_words(line)
    if line.trade:
        kind = f"{kind}, {cut(line.labour, NAME_LENGTH)}"
    quantity = worked if line.quantity is None else plain(line.quantity, 0)
    unit = "h" if line.hours_ms is not None else cut(line.unit, NAME_LENGTH) or None
    rate = None if line.unit_price is None else plain(line.unit_price, 2)
    return Row((described, kind, quantity, unit, rate, line.amount))


def plain(value: Decimal, places: int) -> Decimal:
    """Return the same number without zeros at its end, beyond the places given."""
    needed = -int(value.normalize().as_tuple().exponent)
    return value.quantize(Decimal(1).scaleb(-max(places, needed)))


def history_table(view: OwnerVariations, detail: ChangeDetail) -> Table:
    """Return what happened to the change, oldest first."""
    columns = (
        Column(_("Date"), "date"),
        Column(_("Event"), "text"),
        Column(_("Reference"), "standing"),
        money(_("Price"), view.job),
    )
    rows = [
        Row(
            (
                event.day,
                wording.event_words(event),
                cut(event.reference, REFERENCE_LENGTH) or None,
                event.price,
            )
        )
        for event in detail.history
    ]
    return Table("Decisions", _("Events and decisions, oldest first"), columns, tuple(rows))
