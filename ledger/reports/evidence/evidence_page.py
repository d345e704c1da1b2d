"""The pages of an evidence pack: the life of a change, what was sent, files and entries."""

from datetime import date
from decimal import Decimal

from ledger.domain.allocation import shown_adding_to
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.evidence.asked import HOURS, FileShown
from ledger.reports.evidence.evidence import EvidencePages, LifeEvent
from ledger.reports.evidence.measured_mile import mile_section
from ledger.reports.figures import hours, number_text
from ledger.reports.page_parts import LINE_LENGTH, banner, foot, letterhead, proof
from ledger.reports.tables import Cell, Column, Fact, Page, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut

HEADS = {
    "entry": ("Entry", "code"),
    "day": ("Day", "text"),
    "worker": ("Worker", "code"),
    "name": ("Name", "text"),
    "trade": ("Trade", "text"),
    "rework": ("Rework", "text"),
    "hours": ("Hours", "hours"),
    "code": ("Code on the sheet", "code"),
    "sheet": ("Sheet", "code"),
    "file": ("File", "text"),
    "line": ("Line", "code"),
    "note": ("Note", "text"),
}
CHECKED = (
    "Each file in the pack is listed with its SHA-256 in manifest.json. Unpack the pack and run "
    "python3 -I check_pack.py: it needs only Python 3.10 or later, names every file that was "
    "changed, and says what is proven and what rests on the pack's own word, as these pages do.",
    "The digests of documents and attachments, and what happened, were sealed in the yard's record "
    "when these were issued, attached or entered. proof.json leads from each of these rows to the "
    "record stamp below. A pack cannot show what was left out of it.",
    "All of it rests on that stamp, as a record that was made up has one too. A stamp that you "
    "were given earlier must be among the batches in proof.json, or be older than the first of "
    "them: python3 -I check_pack.py STAMP looks for it.",
)
SEALED = (
    "proof.json also has the sealed rows behind every entry listed here: the sheet line, what it "
    "was booked to, and what moved or corrected it since. Nothing of any other row can be worked "
    "out from it.",
)
ERASED = "erased since"


def evidence_page(view: EvidencePages) -> Page:
    """Return the pages of a pack."""
    return Page(
        title="Evidence",
        subject=cut(f"{view.change} {view.title}".strip(), LINE_LENGTH),
        letterhead=letterhead(view.yard),
        facts=(
            Fact("Job", cut(f"{view.job} {view.job_title}".strip(), LINE_LENGTH)),
            Fact("Owner", cut(view.owner, LINE_LENGTH)),
            Fact("Change", view.change),
            *_hours(view),
        ),
        headline="",
        figures=(),
        sections=(
            _life(view),
            _prices(view),
            _documents(view),
            _sent(view),
            _attachments(view),
            _entries(view),
            *(() if view.mile is None else (mile_section(view.mile),)),
        ),
        how_to_read=(*CHECKED, *(SEALED if view.for_adjudicator else ())),
        caution="",
        proof=proof(view.stamp, view, view.remade_by),
        running=(cut(f"{view.job} · {view.change}", LINE_LENGTH), "Evidence"),
        foot=foot(view.stamp, digest(view)),
        banner=banner(rehearsal=view.rehearsal),
        cover="Evidence",
    )


def _hours(view: EvidencePages) -> tuple[Fact, ...]:
    """Return the hours on the change, where they are shown."""
    if HOURS not in view.columns:
        return ()
    return (Fact("Hours booked", number_text(hours(sum(view.entry_ms)))),)


def _day(day: date | None) -> str:
    return "" if day is None else written(day)


def _life(view: EvidencePages) -> Section:
    columns = (
        Column("Day", "text"),
        Column("What happened", "text"),
        Column("Revision", "code"),
        Column("By", "text"),
        Column("Reference", "text"),
        Column("Particulars", "text"),
    )
    rows = tuple(
        Row(
            (
                _day(each.day),
                each.event.replace("_", " "),
                each.revision,
                cut(each.person, NAME_LENGTH),
                cut(each.reference, TEXT_LENGTH),
                _particulars(each),
            )
        )
        for each in view.events
    )
    return Section("What happened", Table("life", "Events", columns, rows, "Nothing is recorded."))


def _particulars(event: LifeEvent) -> str:
    """Return days asked for and granted, and since when something is known and was received."""
    facts = (
        (event.days_asked, f"{_days(event.days_asked)} asked for"),
        (event.days_granted, f"{_days(event.days_granted)} granted"),
        (event.aware_on, f"aware on {_day(event.aware_on)}"),
        (event.received_on, f"received on {_day(event.received_on)}"),
    )
    return "; ".join(words for fact, words in facts if fact is not None)


def _days(count: int | None) -> str:
    return f"{count} {'day' if count == 1 else 'days'}"


def _prices(view: EvidencePages) -> Section:
    money = Column("Price", "money", cut(view.currency, NAME_LENGTH), missing="not priced")
    columns = (Column("Revision", "code"), Column("Status", "text"), money)
    rows = tuple(
        Row((each.revision, each.state.replace("_", " "), each.amount)) for each in view.prices
    )
    none = "No price was sent."
    return Section("Prices sent", Table("prices", "Prices, without tax", columns, rows, none))


def _files(files: tuple[FileShown, ...]) -> tuple[Row, ...]:
    return tuple(
        Row(
            (
                cut(each.name, TEXT_LENGTH),
                each.what,
                _day(each.day),
                each.sha256 or ERASED,
                each.sealed_in.partition(":")[2],
            )
        )
        for each in files
    )


FILE_COLUMNS = (
    Column("File", "text"),
    Column("What it is", "text"),
    Column("Day", "text"),
    Column("SHA-256", "note"),
    Column("Sealed row", "code"),
)


def _documents(view: EvidencePages) -> Section:
    rows, none = _files(view.documents), "No document was issued."
    return Section("Documents", Table("documents", "Documents issued", FILE_COLUMNS, rows, none))


def _attachments(view: EvidencePages) -> Section:
    rows, none = _files(view.attachments), "No file is attached."
    return Section("Attachments", Table("attachments", "Files attached", FILE_COLUMNS, rows, none))


def _sent(view: EvidencePages) -> Section:
    columns = (
        Column("Document", "code"),
        Column("Sent to", "text"),
        Column("On", "text"),
        Column("How", "text"),
        Column("Reply due", "text"),
        Column("Replied", "text"),
    )
    rows = tuple(
        Row(
            (
                each.document,
                cut(each.sent_to, NAME_LENGTH),
                _day(each.sent_on),
                each.sent_by.replace("_", " "),
                _day(each.reply_due),
                _day(each.replied_on),
            )
        )
        for each in view.sendings
    )
    return Section("What was sent", Table("sent", "Sendings", columns, rows, "Nothing was sent."))


def _entries(view: EvidencePages) -> Section:
    columns = tuple(Column(*HEADS[name]) for name in view.columns)
    total = hours(sum(view.entry_ms))
    entry_hours = shown_adding_to(total, view.entry_ms or [0] * len(view.entries))
    rows = [
        Row(tuple(map(_entry_cell, view.columns, cells, [rounded] * len(cells))))
        for cells, rounded in zip(view.entries, entry_hours, strict=True)
    ]
    before = view.columns.index("hours") if "hours" in view.columns else 0
    if rows and before:
        blank: tuple[Cell, ...] = ("",) * (len(view.columns) - before - 1)
        rows.append(Row(("Total", total, *blank), "total", span=before))
    table = Table("entries", "Hours booked", columns, tuple(rows), "No hours are booked.")
    return Section("Hours", table)


def _entry_cell(name: str, cell: str | None, rounded: Decimal) -> Cell:
    if name == "hours":
        return rounded
    if name == "day" and cell is not None:
        return written(date.fromisoformat(cell))
    return None if cell is None else cut(cell, TEXT_LENGTH)
