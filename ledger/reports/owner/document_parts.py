"""A document as a page: what every kind has, and the parts that a letter is put together from."""

from dataclasses import dataclass, field
from decimal import Decimal

from ledger.domain.allocation import shown_adding_to
from ledger.domain.pricing import PriceLine
from ledger.language import _
from ledger.reports import page_parts
from ledger.reports.canonical import canonical_json, digest
from ledger.reports.dates import written
from ledger.reports.figures import hours, number_text
from ledger.reports.owner import wording
from ledger.reports.owner.document_views import ChangeHead, Head, Offer
from ledger.reports.page_parts import LINE_LENGTH
from ledger.reports.tables import Column, Fact, Page, Row, Section, Table
from ledger.reports.text import DESCRIPTION_LENGTH, NAME_LENGTH, TEXT_LENGTH, cut

DRAFT = "Draft: not issued, without a number"
RESTS_ON = "What this price rests on, and what it leaves out"


@dataclass(frozen=True)
class Terms:
    """A heading with what is said under it, a paragraph each."""

    title: str
    texts: tuple[str, ...]


@dataclass(frozen=True)
class Signature:
    """A box to be signed for a party, and what signing says."""

    party: str
    says: str


@dataclass(frozen=True)
class LetterPage(Page):
    """A document ready to be shown: words, figures, tables, choices to tick, boxes to sign."""

    draft: str = ""
    opening: tuple[str, ...] = ()
    terms: tuple[Terms, ...] = ()
    question: str = ""
    choices: tuple[str, ...] = ()
    signatures: tuple[Signature, ...] = ()
    closing: str = ""


@dataclass(frozen=True)
class Letter:
    """What a kind of document has of its own."""

    title: str
    opening: tuple[str, ...]
    figures: tuple[Fact, ...] = ()
    sections: tuple[Section, ...] = ()
    terms: tuple[Terms, ...] = ()
    question: str = ""
    choices: tuple[str, ...] = ()
    signatures: tuple[Signature, ...] = ()
    closing: str = ""
    facts: tuple[Fact, ...] = field(default=())


def letter_page(view: object, head: Head, change: ChangeHead | None, letter: Letter) -> LetterPage:
    """Return a document ready to be shown; `head` and `change` are those shown of the view.

    One without a change is of the whole job.
    """
    seal = digest(view)
    code, title = (change.change, change.title) if change else (head.job, head.job_title)
    code, number = cut(code, NAME_LENGTH), head.number or _("Draft")
    return LetterPage(
        title=letter.title,
        subject=f"{code} · {cut(title, TEXT_LENGTH)}",
        letterhead=page_parts.letterhead(head.yard),
        facts=(*_facts(head, code if change else ""), *letter.facts),
        headline="",
        figures=letter.figures,
        sections=letter.sections,
        how_to_read=(),
        caution="",
        proof=proof_of(head, seal, view),
        running=(f"{letter.title} · {code}", number),
        foot=f"{number} · {page_parts.foot(head.known_at, seal)}",
        banner=page_parts.banner(rehearsal=head.rehearsal),
        draft=_(DRAFT) if head.is_draft else "",
        opening=letter.opening,
        terms=tuple(each for each in letter.terms if each.texts),
        question=letter.question,
        choices=letter.choices,
        signatures=letter.signatures,
        closing=letter.closing,
    )


def _facts(head: Head, code: str) -> tuple[Fact, ...]:
    by = (Fact(_("Prepared by"), cut(head.prepared_by, NAME_LENGTH)),) if head.prepared_by else ()
    return (
        Fact(_("To"), cut(head.owner, LINE_LENGTH)),
        Fact(_("Number"), head.number or _("none, this is a draft")),
        Fact(_("Job"), f"{cut(head.job, NAME_LENGTH)} · {cut(head.job_title, LINE_LENGTH)}"),
        Fact(_("Date"), written(head.issued_on)),
        Fact(_("Contract of"), written(head.contract_date)),
        *((Fact(_("Change"), code),) if code else ()),
        *by,
    )


def proof_of(head: Head, seal: str, view: object) -> tuple[Fact, ...]:
    """Return what proves a document: its stamp and digest, and whether any of it was erased."""
    facts = [
        Fact(_("Record stamp"), f"{head.known_at.sequence} · {head.known_at.head}"),
        Fact(_("Digest of the content"), seal),
    ]
    if b'"erased"' in canonical_json(view):
        facts.append(Fact(_("Erased"), _(page_parts.ERASED_SINCE)))
    return tuple(facts)


def amount(head: Head, value: Decimal) -> str:
    """Return an amount behind its ISO 4217 code."""
    return f"{cut(head.currency, NAME_LENGTH)}\N{NO-BREAK SPACE}{number_text(value)}"


def described(
    change: ChangeHead,
    title: str,
    texts: tuple[str, ...] = (),
    *,
    before: tuple[str, ...] = (),
) -> Terms:
    """Return what a change is, in the words written for the owner, and what is said with it."""
    words = (*before, change.description, *texts)
    return Terms(title, tuple(cut(text, DESCRIPTION_LENGTH) for text in words if text))


def rests_on(offer: Offer) -> Terms:
    """Return what a price rests on and leaves out, repeated wherever the price stands."""
    return Terms(_(RESTS_ON), tuple(cut(text, DESCRIPTION_LENGTH) for text in offer.owner_texts))


def price_section(head: Head, offer: Offer) -> Section:
    """Return how a price is made up; its lines add to it."""
    currency = cut(head.currency, NAME_LENGTH)
    columns = (
        Column(_("Item"), "text"),
        Column(_("Kind"), "basis"),
        Column(_("Quantity"), "quantity"),
        Column(_("Unit"), "unit"),
        Column(_("Rate"), "rate", currency),
        Column(_("Amount"), "money", currency),
    )
    rows = [_price_row(line, line_hours) for line, line_hours in _with_hours(offer.lines)]
    total = _("Estimate, without tax") if offer.estimated else _("Price, without tax")
    rows.append(Row((total, offer.price), "total", 5))
    caption = _("Revision {revision}; work taken out has a minus sign").format(
        revision=offer.revision
    )
    return Section(_("Price"), Table("Price lines", caption, columns, tuple(rows)))


def _with_hours(lines: tuple[PriceLine, ...]) -> list[tuple[PriceLine, Decimal | None]]:
    """Return the lines with the hours of each labour line as shown: they add to their sum."""
    ms = [line.hours_ms for line in lines if line.hours_ms is not None]
    rounded = iter(shown_adding_to(hours(sum(ms)), ms))
    return [(line, None if line.hours_ms is None else next(rounded)) for line in lines]


def _price_row(line: PriceLine, worked: Decimal | None) -> Row:
    kind = _(wording.PRICE_KIND_WORDS[line.price_kind])
    if line.trade:
        kind = f"{kind}, {cut(line.labour, NAME_LENGTH)}"
    quantity = worked if line.quantity is None else plain(line.quantity, 0)
    unit = "h" if line.hours_ms is not None else cut(line.unit, NAME_LENGTH) or None
    rate = None if line.unit_price is None else plain(line.unit_price, 2)
    return Row((wording.line_words(line), kind, quantity, unit, rate, line.amount))


def plain(value: Decimal, places: int) -> Decimal:
    """Return the same number without zeros at its end, beyond the places given."""
    needed = -int(value.normalize().as_tuple().exponent)
    return value.quantize(Decimal(1).scaleb(-max(places, needed)))


def time_fact(offer: Offer) -> Fact:
    """Return the days with a price, or that they are reserved."""
    if offer.days is None:
        note = _("effect on completion not settled")
        if offer.days_requested:
            asked_for = number_text(offer.days_requested)
            note = _("{count} requested, not decided").format(count=asked_for)
        return Fact(_("Time"), _("Time reserved"), note)
    if offer.days == 0:
        return Fact(_("Time"), _("No days"), _("the completion date stays"))
    return Fact(_("Time"), wording.days_words(offer.days), _("added to the completion date"))


def price_fact(head: Head, offer: Offer) -> Fact:
    """Return a price, and what kind of price it is."""
    kinds = [
        _("rough") if offer.rough else "",
        _("estimate") if offer.estimated else "",
        _("not to be exceeded") if offer.capped else "",
        _("without tax"),
    ]
    return Fact(_("Price"), amount(head, offer.price), ", ".join(filter(None, kinds)))


def planned_fact(offer: Offer) -> tuple[Fact, ...]:
    """Return when the work is planned, if the price says so."""
    if offer.planned_start is None:
        return ()
    finish = offer.planned_finish
    ends = _("to {day}").format(day=written(finish)) if finish else ""
    return (Fact(_("Work planned from"), written(offer.planned_start), ends),)
