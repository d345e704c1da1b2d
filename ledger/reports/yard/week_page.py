"""A week of the yard as a page: of each job its lines, and the commands that open them."""

from collections.abc import Sequence

from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.tables import Column, Fact, Page, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, cut, visible_throughout
from ledger.reports.yard.week import WeekRemark, WeekShown
from ledger.reports.yard.week_words import CAUTION, LABELS, words

TITLE = "The week"
COLUMNS = (Column("What", "standing"), Column("This week", "text"), Column("Opened by", "note"))


def week_page(view: WeekShown) -> Page:
    """Return the week ready to be shown; the digest is that of the view as it was given."""
    seal = digest(view)
    week: WeekShown = visible_throughout(view)
    days = f"{written(week.first)} to {written(week.last)}"
    codes = ", ".join(cut(each.job, NAME_LENGTH) for each in week.jobs)
    sections = [
        Section(
            f"{cut(each.job, NAME_LENGTH)} {cut(each.title, page_parts.LINE_LENGTH)}",
            _table(each.job, each.lines, each.currency),
        )
        for each in week.jobs
    ]
    sections.append(Section("The yard", _table("Yard", week.of_yard, "")))
    return Page(
        title=TITLE,
        subject=days,
        letterhead=page_parts.letterhead(week.yard),
        facts=(
            Fact("Jobs", codes or "none with hours"),
            Fact("As recorded by", f"record stamp {week.known_at.sequence}"),
        ),
        headline="",
        figures=(),
        sections=tuple(sections),
        how_to_read=(),
        caution=CAUTION,
        proof=page_parts.proof(week.known_at, view, week.remade_by),
        running=(f"{TITLE} · {codes}", days),
        foot=page_parts.foot(week.known_at, seal),
        banner=page_parts.banner(rehearsal=week.rehearsal),
        cover="Week",
    )


def _table(name: str, lines: Sequence[WeekRemark], currency: str) -> Table:
    rows = [Row((LABELS[each.what], words(each, currency), each.opened_by)) for each in lines]
    return Table(name, f"{name}: figures of the week, and what opens them", COLUMNS, tuple(rows))
