"""The hours behind the daywork of a claim as a page: sums in a table, lines as set text.

A line of text with stops is set in a sixth of the time of a table's row of as many cells.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby

from ledger.domain.allocation import shown_adding_to
from ledger.language import _, ngettext
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
HEADS = ("Date", "Worker", "Hours", "Trade")
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
    name = _(TITLE).format(claim=view.claim)
    day = written(view.day_to)
    count = len(view.lines)
    headline = ngettext("{hours} h in {count} line", "{hours} h in {count} lines", count)
    return Page(
        title=name,
        subject=f"{code} · {title}",
        letterhead=page_parts.letterhead(visible_throughout(view.yard)),
        facts=(
            Fact(_("Owner"), cut(visible(view.owner), TEXT_LENGTH)),
            Fact(
                _("Claim"),
                _("{document}, work up to {day}").format(document=_short(view.document), day=day),
            ),
            Fact(_("Record stamp"), str(view.known_at.sequence)),
        ),
        headline=headline.format(hours=number_text(hours(view.ms)), count=number_text(count)),
        figures=(),
        sections=(Section(_("Hours by change"), _sums(view)),),
        how_to_read=tuple(map(_, HOW_TO_READ)),
        caution="",
        proof=page_parts.proof(view.known_at, view, visible(view.remade_by)),
        running=(f"{name} · {code}", _("Work up to {day}").format(day=day)),
        foot=page_parts.foot(view.known_at, seal),
        banner=page_parts.banner(rehearsal=view.rehearsal),
        listings=tuple(_listings(view.lines)),
    )


def _sums(view: DayworkBackup) -> Table:
    total = hours(view.ms)
    amounts = shown_adding_to(total, [each.ms for each in view.sums])
    rows = [
        Row((_short(each.change), cut(visible(each.title), TEXT_LENGTH), str(each.lines), amount))
        for each, amount in zip(view.sums, amounts, strict=True)
    ]
    rows.append(Row((_("All changes"), str(len(view.lines)), total), "total", span=2))
    columns = (
        Column(_("Change"), "code"),
        Column(_("Title"), "text"),
        Column(_("Lines"), "code"),
        Column(_("Hours"), "hours", "h"),
    )
    return Table(_("Hours by change"), _("As the claim takes them up"), columns, tuple(rows))


def _listings(lines: Sequence[BackupLine]) -> Iterator[Listing]:
    """Yield the lines by change and daywork sheet, each with its hours."""
    for (change, sheet), group in groupby(lines, key=lambda e: (e.change, e.daywork_sheet)):
        own = list(group)
        named = _("daywork sheet {sheet}").format(sheet=_short(sheet))
        signed = named if sheet else _("no daywork sheet")
        total = number_text(hours(sum(line.ms for line in own)))
        title = f"{_short(change)} · {signed} · {total} h"
        starts = range(0, len(own), LINES_A_BLOCK)
        blocks = (own[start : start + LINES_A_BLOCK] for start in starts)
        yield Listing(
            title, "\t".join(map(_, HEADS)), tuple("\n".join(map(_line, block)) for block in blocks)
        )


def _line(line: BackupLine) -> str:
    """Return a line as text with stops, hours of two places rounded by themselves."""
    worker, worked = _filled(str(line.worker)), _filled(number_text(hours(line.ms)))
    return f"{line.day}\t{worker}\t{worked}\t{_short(line.trade)}"


def _filled(number: str) -> str:
    return number.rjust(WIDTH, FILL)


def _short(text: str) -> str:
    one_line = " ".join(visible(text).split())
    return one_line if len(one_line) <= SHORT else f"{one_line[: SHORT - 1]}…"
