"""The accountant's report of hours paid and booked as a page: what is open first, then why."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import groupby

from ledger.domain.counting import counted
from ledger.domain.pay import KINDS as KINDS_IN_ORDER
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.figures import hours, number_text
from ledger.reports.tables import Column, Fact, Page, Print, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut, visible_throughout
from ledger.reports.workbook import workbook
from ledger.reports.yard.reconciliation import PaidRow, Reconciliation
from ledger.reports.yard.reconciliation_data import data_tables, dictionary
from ledger.reports.yard.reconciliation_shown import NOTHING, RowShown, shown_rows
from ledger.reports.yard.reconciliation_words import (
    CAUTION,
    HOW_TO_READ,
    KINDS,
    REASONS,
    against_several,
    headline,
    kind_words,
    party_words,
    reasons_words,
    signer_words,
    status_words,
)

TITLE = "Hours paid and booked"
# Tables that a workbook has as rows of data instead.
ON_PAPER_ALONE = frozenset({"Not settled", "Waived", "Explained"})
AMOUNTS = tuple(Column(head, "hours", "h") for head in ("Paid", "Booked", "Difference"))
BY_KIND = (
    *(Column("Kind of pay", "text"), Column("Rows", "days"), *AMOUNTS),
    *(Column("Explained", "hours", "h"), Column("Unexplained", "hours", "h")),
    Column("Open rows", "days"),
)
BY_REASON = (Column("Reason", "text"), Column("Rows", "days"), Column("Hours", "hours", "h"))
DIFFERENCES = (
    *(Column("Kind of pay", "basis"), Column("From", "date"), Column("To", "date"), *AMOUNTS),
    *(Column("Reasons", "text", missing=""), Column("Unexplained", "quantity", "h", "")),
)
CHANGED = (
    *(Column("Worker", "text"), Column("Kind of pay", "basis")),
    *(Column("From", "date"), Column("To", "date"), *AMOUNTS, Column("Status", "text")),
)
CLOCKED = (
    *(Column("Worker", "text"), Column("From", "date"), Column("To", "date")),
    *(Column("Booked on its days", "hours", "h"), Column("Clocked", "hours", "h")),
    Column("Clocked − booked", "hours", "h"),
)
BANKED = (Column("Worker", "text"), Column("Hours", "hours", "h"))
NOTES = (
    *(Column("Worker", "basis"), Column("From", "date"), Column("To", "date")),
    *(Column("Reason", "basis"), Column("Hours", "hours", "h"), Column("Note", "text")),
)
SIGN_OFF = (
    *(Column("Step", "basis"), Column("Name", "text"), Column("Signature", "text")),
    Column("Date", "date", missing=""),
)


def reconciliation_page(view: Reconciliation) -> Page:
    """Return the report ready to be shown; the digest is that of the view as it was given.

    Sections without a title are for the workbook alone.
    """
    seal = digest(view)
    seen: Reconciliation = visible_throughout(view)
    days = f"{written(seen.start)} to {written(seen.end)}"
    sections = _sections(seen)
    data = tuple(Section("", table) for table in data_tables(seen))
    kept = [each.table for each in (*sections, *data) if each.table.name not in ON_PAPER_ALONE]
    return Page(
        title=TITLE,
        subject=f"Periods that end from {days}",
        letterhead=page_parts.letterhead(seen.yard),
        facts=_facts(seen),
        headline=headline(seen),
        figures=_figures(seen),
        sections=(*sections, *data, Section("", dictionary(kept))),
        how_to_read=HOW_TO_READ,
        caution=CAUTION,
        proof=page_parts.proof(seen.known_at, view, seen.remade_by),
        running=(TITLE, days),
        foot=page_parts.foot(seen.known_at, seal),
        banner=page_parts.banner(rehearsal=seen.rehearsal),
        cover="Report",
    )


def reconciliation_workbook(page: Page, out: Print) -> bytes:
    """Return the report as XLSX, with rows and reasons as data in place of the grouped tables."""
    kept = tuple(each for each in page.sections if each.table.name not in ON_PAPER_ALONE)
    return workbook(replace(page, sections=kept), out)


def _facts(view: Reconciliation) -> tuple[Fact, ...]:
    closed = f", as closed to {written(view.closed_to)}" if view.closed_to else ""
    return (
        Fact("First day", written(view.start)),
        Fact("Last day", written(view.end)),
        Fact("Tolerance", f"{view.tolerance_minutes} minutes a row"),
        Fact("As recorded by", f"record stamp {view.known_at.sequence}{closed}"),
    )


def _figures(view: Reconciliation) -> tuple[Fact, ...]:
    """Return the figures that are looked for first."""
    paid = hours(sum(row.paid_ms for row in view.rows))
    booked = hours(sum(row.booked_ms for row in view.rows))
    open_rows = sum(not row.is_settled for row in view.rows)
    signed = sum(row.is_signed for row in view.rows)
    return (
        Fact("Paid", f"{number_text(paid)} h", counted(len(view.rows), "row", "rows")),
        Fact("Booked", f"{number_text(booked)} h", "all jobs, overhead and absence"),
        Fact("Difference", f"{number_text(paid - booked)} h", "paid − booked"),
        Fact("Not settled", str(open_rows), f"rows; {signed} signed off"),
    )


def _sections(view: Reconciliation) -> tuple[Section, ...]:
    rows = shown_rows(view.rows)
    several = against_several(view.rows)
    differs = [each for each in rows if each.row.difference_ms or not each.row.is_settled]
    open_rows = [each for each in differs if not each.row.is_settled]
    waived = [each for each in differs if each.row.is_waived]
    explained = [each for each in differs if each.row.is_settled and not each.row.is_waived]
    agree = len(rows) - len(differs)
    sections = [
        Section("Totals by kind of pay", _by_kind(rows)),
        Section("Not settled", _differences("Not settled", _unexplained_first(open_rows), several)),
    ]
    if view.changed:
        sections.append(Section("Closed periods, not as they were closed", _changed(view)))
    if waived:
        sections.append(Section("Waived with a reason", _differences("Waived", waived, several)))
    sections += [
        Section(
            "Explained differences",
            _differences("Explained", explained, several),
            lead=_agree(agree),
        ),
        Section("Reasons in all", _by_reason(rows)),
    ]
    if any(row.clocked_ms != row.beside_clock_ms for row in view.rows):
        sections.append(Section("Attendance clock", _clocked(view)))
    sections += [
        Section("Banked hours", _banked(view)),
        Section("Notes on differences", _notes(view)),
        Section("Sign-off", _sign_off(view)),
    ]
    return tuple(sections)


def _agree(count: int) -> str:
    if not count:
        return ""
    return f"{counted(count, 'row agrees and is', 'rows agree and are')} not listed."


def _sums(rows: Sequence[RowShown]) -> tuple[Decimal, Decimal, Decimal]:
    paid = sum((each.paid for each in rows), NOTHING)
    booked = sum((each.booked for each in rows), NOTHING)
    return paid, booked, paid - booked


def _left(rows: Iterable[RowShown]) -> Decimal:
    return sum((each.unexplained for each in rows), NOTHING)


def _by_kind(rows: Sequence[RowShown]) -> Table:
    def cells(label: str, of_kind: Sequence[RowShown], kind: str) -> Row:
        sums, left = _sums(of_kind), _left(of_kind)
        open_rows = sum(not each.row.is_settled for each in of_kind)
        return Row((label, len(of_kind), *sums, sums[2] - left, left, open_rows), kind)

    made = [
        cells(KINDS[kind], of_kind, "plain")
        for kind in KINDS_IN_ORDER
        if (of_kind := [each for each in rows if each.row.kind == kind])
    ]
    if made:
        made.append(cells("All", rows, "total"))
    caption = "Difference is paid − booked; explained and unexplained hours add up to it."
    empty = "Nothing was paid or booked in these periods."
    return Table("Totals by kind", caption, BY_KIND, tuple(made), empty)


def _unexplained_first(rows: Sequence[RowShown]) -> list[RowShown]:
    """Return the rows by worker, those first of whom hours are unexplained."""
    first = {party_words(each.row) for each in rows if each.unexplained}
    return sorted(rows, key=lambda each: party_words(each.row) not in first)


def _differences(name: str, rows: Sequence[RowShown], several: Collection[str]) -> Table:
    """Return rows grouped by worker or supplier, each with its reasons, and how it stands."""
    made: list[Row] = []
    for party, of_party in groupby(rows, lambda each: party_words(each.row)):
        made.append(Row((cut(party, page_parts.LINE_LENGTH),), "group", span=len(DIFFERENCES)))
        made += [_difference(each, several) for each in of_party]
    if rows:
        cells = ("All", *_sums(rows), None, _left(rows))
        made.append(Row(cells, "total", span=3))
    caption = CAPTIONS[name]
    return Table(name, caption, DIFFERENCES, tuple(made), EMPTY[name])


CAPTIONS = {
    "Not settled": "By worker; those with hours unexplained first.",
    "Waived": "Signed off with hours unexplained or not paid, by worker.",
    "Explained": "By worker: what is paid and not booked, or booked and not paid, and why.",
}
EMPTY = {
    "Not settled": "Every row is settled.",
    "Waived": "No row is waived.",
    "Explained": "No difference is explained.",
}


def _difference(each: RowShown, several: Collection[str]) -> Row:
    row = each.row
    why = reasons_words([(reason, number_text(amount)) for reason, amount in each.reasons])
    amounts = (each.paid, each.booked, each.difference)
    cells = (kind_words(row, several), row.period_start, row.period_end, *amounts, why)
    left = each.unexplained or None
    return Row((*cells, left), remark=cut(status_words(row), TEXT_LENGTH))


def _changed(view: Reconciliation) -> Table:
    made = [
        Row(
            (
                *(cut(party_words(row), NAME_LENGTH), KINDS[row.kind]),
                *(row.period_start, row.period_end),
                *(
                    hours(row.paid_ms),
                    hours(row.booked_ms),
                    hours(row.paid_ms) - hours(row.booked_ms),
                ),
                cut(status_words(row), TEXT_LENGTH),
            )
        )
        for row in view.changed
    ]
    caption = "Rows of periods closed before that differ since, and are open or wait for pay."
    return Table("Changed since closed", caption, CHANGED, tuple(made))


def _by_reason(rows: Sequence[RowShown]) -> Table:
    """Return what each reason comes to; with what is unexplained they are the difference."""
    by_reason: dict[str, list[Decimal]] = {}
    for each in rows:
        for reason, amount in each.reasons:
            by_reason.setdefault(reason, []).append(amount)
    made = [
        Row((word, len(by_reason[reason]), sum(by_reason[reason], NOTHING)))
        for reason, word in REASONS.items()
        if reason in by_reason
    ]
    if left := [each.unexplained for each in rows if each.unexplained]:
        made.append(Row(("Unexplained", len(left), sum(left, NOTHING))))
    if made:
        differs = sum(bool(each.row.difference_ms) for each in rows)
        made.append(Row(("Difference", differs, _sums(rows)[2]), "total"))
    caption = "A row can have several reasons; hours are paid − booked."
    return Table("Totals by reason", caption, BY_REASON, tuple(made), "No row differs.")


def _clocked(view: Reconciliation) -> Table:
    made = [
        Row(
            (
                *(cut(party_words(row), NAME_LENGTH), row.period_start, row.period_end),
                *(hours(booked), hours(clocked), hours(clocked) - hours(booked)),
            )
        )
        for row in view.rows
        if (clocked := row.clocked_ms or 0) != (booked := row.beside_clock_ms or 0)
    ]
    caption = "Hours worked: what is booked on the days that the clock has, beside the clock."
    return Table("Attendance clock", caption, CLOCKED, tuple(made))


def _banked(view: Reconciliation) -> Table:
    made = [
        Row((cut(f"{each.worker_id} {each.name}".rstrip(), NAME_LENGTH), hours(each.ms)))
        for each in view.banked
    ]
    caption = f"Balance on {written(view.end)}; below 0 the worker owes hours."
    return Table("Banked hours", caption, BANKED, tuple(made), "Nobody has banked hours.")


def _notes(view: Reconciliation) -> Table:
    unused = "Belongs to no row: no pay period has all its days. It explains nothing."
    made = [
        Row(
            (
                *(cut(each.party, NAME_LENGTH), each.period_start, each.period_end),
                *(REASONS[each.reason], hours(each.ms), cut(each.note, TEXT_LENGTH)),
            ),
            remark="" if each.is_used else unused,
        )
        for each in view.notes
    ]
    caption = "What people said of differences, in hours paid − booked."
    return Table("Notes", caption, NOTES, tuple(made), "No note was given.")


def _sign_off(view: Reconciliation) -> Table:
    """Return lines to be signed on paper, under what is signed off in the record."""
    made = [*_signed(view)]
    made += [Row((step, "", "", None), "blank") for step in ("Prepared by", "Reviewed by")]
    signed = sum(row.is_signed for row in view.rows)
    caption = f"Signed off in the record: {signed} of {counted(len(view.rows), 'row', 'rows')}."
    return Table("Sign-off", caption, SIGN_OFF, tuple(made))


def _signed(view: Reconciliation) -> Iterator[Row]:
    """Yield who signed off how many rows in the record, and on which day."""
    rows = [row for row in view.rows if row.is_signed]
    rows.sort(key=_signer)
    for (on, who), by_signer in groupby(rows, _signer):
        each = list(by_signer)
        waived = sum(row.is_waived for row in each)
        words = f"{counted(len(each), 'row', 'rows')} signed off in the record"
        words += f", {waived} waived with a reason" if waived else ""
        yield Row(("Signed off", cut(who, NAME_LENGTH), words, on))


def _signer(row: PaidRow) -> tuple[date, str]:
    assert row.signed is not None
    return row.signed.on, signer_words(row)
