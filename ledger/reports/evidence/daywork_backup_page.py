"""The hours behind the daywork of a claim as a page: sums in a table, lines as set text.

A line of text with stops is set in a sixth of the time of a table's row of as many cells.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby

from ledger.domain.allocation import shown_adding_to
from ledger.domain.counting import counted
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.evidence.daywork_backup import BackupLine, DayworkBackup
from ledger.reports.figures import hours, number_text
from ledger.reports.tables import Column, Fact, Listing, Page, Row, Section, Table
from ledger.reports.text import TEXT_LENGTH, cut, visible, visible_throughout

TITLE = "Daywork behind claim {claim}"
LINES_A_BLOCK = 50
# Longer ones are cut, as a line must not wrap.
SHORT = 40
HEADS = "\t".join(("Date", "Worker", "Hours", "Trade"))
# As wide as a digit: what numbers are filled up with, so that they end in one place.
FILL, WIDTH = "\N{FIGURE SPACE}", 8
HOW_TO_READ = (
    "Each line is what the claim takes up of one entry of a timesheet. Hours below zero are given "
    "back.",
    "Workers are named by their number on the daywork sheet that was agreed; without one, by their "
    "number on the change.",
)


def daywork_backup_page(view: DayworkBackup) -> Page:
    """Return the appendix ready to be shown; the digest is that of the view as it was given."""
    seal = digest(view)
    code, title = _short(view.job), cut(visible(view.title), page_parts.LINE_LENGTH)
    name = TITLE.format(claim=view.claim)
    total = f"{number_text(hours(view.ms))} h"
    return Page(
        title=name,
        subject=f"{code} · {title}",
        letterhead=page_parts.letterhead(visible_throughout(view.yard)),
        facts=(
            Fact("Owner", cut(visible(view.owner), TEXT_LENGTH)),
            Fact("Claim", f"{_short(view.document)}, work up to {written(view.day_to)}"),
            Fact("As recorded by", f"record stamp {view.known_at.sequence}"),
        ),
        headline=f"{total} in {counted(len(view.lines), 'line', 'lines')}",
        figures=(),
        sections=(Section("Hours by change", _sums(view)),),
        how_to_read=HOW_TO_READ,
        caution="",
        proof=page_parts.proof(view.known_at, view, visible(view.remade_by)),
        running=(f"{name} · {code}", f"Work up to {view.day_to}"),
        foot=page_parts.foot(view.known_at, seal),
        banner=page_parts.banner(rehearsal=view.rehearsal),
        cover="About",
        listings=tuple(_listings(view.lines)),
    )


def _sums(view: DayworkBackup) -> Table:
    total = hours(view.ms)
    shown = shown_adding_to(total, [each.ms for each in view.sums])
    rows = [
        Row((_short(each.change), cut(visible(each.title), TEXT_LENGTH), str(each.lines), amount))
        for each, amount in zip(view.sums, shown, strict=True)
    ]
    rows.append(Row(("All changes", str(len(view.lines)), total), "total", span=2))
    columns = (
        Column("Change", "code"),
        Column("Title", "text"),
        Column("Lines", "code"),
        Column("Hours", "hours", "h"),
    )
    return Table("Hours by change", "As the claim takes them up", columns, tuple(rows))


def _listings(lines: Sequence[BackupLine]) -> Iterator[Listing]:
    """Yield the lines by change and daywork sheet, each with its hours."""
    for (change, sheet), group in groupby(lines, key=lambda e: (e.change, e.daywork_sheet)):
        own = list(group)
        signed = f"daywork sheet {_short(sheet)}" if sheet else "no daywork sheet"
        total = number_text(hours(sum(line.ms for line in own)))
        title = f"{_short(change)} · {signed} · {total} h"
        starts = range(0, len(own), LINES_A_BLOCK)
        blocks = (own[start : start + LINES_A_BLOCK] for start in starts)
        yield Listing(title, HEADS, tuple("\n".join(map(_line, block)) for block in blocks))


def _line(line: BackupLine) -> str:
    """Return a line as text with stops, hours of two places rounded by themselves."""
    worker, worked = _filled(str(line.worker)), _filled(number_text(hours(line.ms)))
    return f"{line.day}\t{worker}\t{worked}\t{_short(line.trade)}"


def _filled(number: str) -> str:
    return number.rjust(WIDTH, FILL)


def _short(text: str) -> str:
    shown = " ".join(visible(text).split())
    return shown if len(shown) <= SHORT else f"{shown[: SHORT - 1]}…"
