"""The list of booking codes as a page: its words, its figures and its tables in their order."""

from collections.abc import Sequence
from decimal import Decimal
from itertools import groupby

from ledger.domain.parsing import MS_PER_HOUR
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.figures import number_text, quarter_hours
from ledger.reports.foremen.code_list import Cause, CodeList, CodeRow
from ledger.reports.foremen.code_wording import (
    CAUSE_GROUPS,
    EMPTY,
    HOW_TO_READ,
    cause_words,
    closed_words,
    headline,
    over_words,
    standing_words,
)
from ledger.reports.tables import Column, Fact, Page, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut, visible_throughout

TITLE = "Booking codes"
NOTHING = Decimal("0.00")
HOURS = (
    Column("Budget", "hours", "h"),
    Column("Booked", "hours", "h"),
    Column("Left", "hours", "h"),
)
PACKAGES = (
    Column("Code", "code"),
    Column("Work", "text"),
    Column("Trades", "trades"),
    Column("From", "date"),
    Column("To", "date"),
    *HOURS,
)
CHANGES = (
    Column("Code", "code"),
    Column("Work", "text"),
    Column("Status", "standing"),
    *(Column(each.head, each.kind, each.unit, "not priced") for each in HOURS[:1]),
    *HOURS[1:],
)
CAUSES = (Column("Code", "code"), Column("Use it for", "text"))
CLOSED = (
    Column("Code", "code"),
    Column("Work", "text"),
    Column("Reason", "standing"),
    Column("Booked", "hours", "h"),
)
Shown = dict[str, tuple[Decimal | None, Decimal, Decimal | None]]


def code_list_page(view: CodeList) -> Page:
    """Return the list ready to be shown; the digest is that of the view as it was given."""
    seal = digest(view)
    code_list: CodeList = visible_throughout(view)
    code = cut(code_list.job, NAME_LENGTH)
    title = cut(code_list.title, page_parts.LINE_LENGTH)
    return Page(
        title=TITLE,
        subject=f"{code} · {title}",
        letterhead=page_parts.letterhead(code_list.yard),
        facts=(
            Fact("Status date", written(code_list.status_date)),
            Fact("As recorded by", f"record stamp {code_list.known_at.sequence}"),
        ),
        headline=headline(code_list),
        figures=figures(code_list),
        sections=sections(code_list),
        how_to_read=HOW_TO_READ,
        caution="",
        proof=page_parts.proof(code_list.known_at, view, code_list.remade_by),
        running=(
            f"{TITLE} · {code} · {cut(code_list.title, 60)}",
            f"Status date {written(code_list.status_date)}",
        ),
        foot=page_parts.foot(code_list.known_at, seal),
        banner=page_parts.banner(rehearsal=code_list.rehearsal),
        cover="About",
    )


def figures(view: CodeList) -> tuple[Fact, ...]:
    """Return the figures that a foreman looks for first."""
    packages, changes = view.open_packages, view.open_changes
    left = rounded_total(packages)
    over = [row for row in packages if row.budget_ms is not None and row.booked_ms > row.budget_ms]
    beyond = sum((value for row in over if (value := left[row.code][2])), NOTHING)
    open_left = sum((value for *_, value in left.values() if value), NOTHING)
    return (
        Fact("Open packages", str(len(packages)), f"{number_text(open_left)} h left in total"),
        Fact("Over budget", str(len(over)), f"{number_text(beyond)} h"),
        Fact("Open changes", str(len(changes)), "approved or instructed"),
        Fact("Closed codes", str(len(view.closed)), "finished, contingency or not instructed"),
    )


def rounded_total(rows: Sequence[CodeRow]) -> Shown:
    """Return budget, booked and left of each code as shown: they add up down and across.

    Control accounts add to the sum of all, rows to their account.
    """
    budgets = in_accounts(rows, [row.budget_ms or 0 for row in rows])
    booked = in_accounts(rows, [row.booked_ms for row in rows])
    return {
        row.code: (budget, done, budget - done) if row.budget_ms is not None else (None, done, None)
        for row, budget, done in zip(rows, budgets, booked, strict=True)
    }


def in_accounts(rows: Sequence[CodeRow], amounts: Sequence[int]) -> list[Decimal]:
    """Return the amounts of rows by account in hours, rounded to quarters and adding up."""
    numbered = groupby(range(len(rows)), key=lambda place: rows[place].account)
    groups = [[amounts[place] for place in places] for _, places in numbered]
    sums = quarter_hours(sum(amounts), [sum(group) for group in groups])
    return [
        rounded
        for total, group in zip(sums, groups, strict=True)
        for rounded in quarter_hours(int(total * MS_PER_HOUR), group)
    ]


def sections(view: CodeList) -> tuple[Section, ...]:
    return (
        Section("Packages", packages_table(view)),
        Section("Open changes", changes_table(view)),
        Section("Non-productive time", causes_table(view.causes)),
        Section("Closed codes", closed_table(view.closed)),
    )


def packages_table(view: CodeList) -> Table:
    """Return the open packages by control account, each with its sums, then those of all."""
    rows = view.open_packages
    rounded = rounded_total(rows)
    made: list[Row] = []
    for account, group in groupby(rows, key=lambda row: row.account):
        members = list(group)
        made.append(account_row(account, [rounded[row.code] for row in members]))
        made.extend(package_row(row, rounded) for row in members)
    if rows:
        label = f"All open packages: {len(rows)}"
        made.append(Row((label, *sums(list(rounded.values()))), "total", span=5))
    caption = "Hours left are budget less booked" + ("" if view.is_frozen else ", as estimated")
    return Table("Packages", f"{caption}.", PACKAGES, tuple(made), EMPTY["packages"])


def account_row(account: str, amounts: Sequence[tuple[Decimal | None, ...]]) -> Row:
    label = cut(account, NAME_LENGTH) or "No control account"
    return Row((label[:1].upper() + label[1:], *sums(amounts)), "group", span=5)


def sums(amounts: Sequence[tuple[Decimal | None, ...]]) -> tuple[Decimal | None, ...]:
    """Return the sums of columns; no sum of what is left where a budget is missing."""
    columns = list(zip(*amounts, strict=True))
    left = columns[2]
    total = [sum((value for value in column if value is not None), NOTHING) for column in columns]
    return (*total[:2], None if None in left else total[2])


def package_row(row: CodeRow, rounded: Shown) -> Row:
    budget, booked, left = rounded[row.code]
    return Row(
        (
            *named(row),
            cut(", ".join(row.trades), TEXT_LENGTH),
            row.planned_start,
            row.planned_finish,
            budget,
            booked,
            left,
        ),
        "over" if left is not None and left < 0 else "plain",
        remark=over_words(left),
    )


def named(row: CodeRow) -> tuple[str, str]:
    return cut(row.code, NAME_LENGTH), cut(row.title, TEXT_LENGTH)


def changes_table(view: CodeList) -> Table:
    """Return the changes that may be worked on: approved or instructed, not done, not stopped."""
    rows = view.open_changes
    rounded = rounded_total(rows)
    made = [
        Row(
            (*named(row), standing_words(row), *rounded[row.code]),
            "over" if (rounded[row.code][2] or 0) < 0 else "plain",
            remark=over_words(rounded[row.code][2]),
        )
        for row in rows
    ]
    if rows:
        made.append(Row(("All open changes", *sums(list(rounded.values()))), "total", span=3))
    caption = "Work for a change goes to its own code, not to the package it is done in."
    return Table("Changes", caption, CHANGES, tuple(made), EMPTY["changes"])


def causes_table(causes: Sequence[Cause]) -> Table:
    """Return the codes for time lost, for the yard's own work and for absence."""
    made: list[Row] = []
    for group, title in CAUSE_GROUPS.items():
        members = [cause for cause in causes if cause.group == group]
        if members:
            made.append(Row((title,), "group", span=2))
            made.extend(Row((cut(each.code, NAME_LENGTH), cause_words(each))) for each in members)
    caption = "These codes are the same on every sheet."
    return Table("Time", caption, CAUSES, tuple(made), EMPTY["causes"])


def closed_table(rows: Sequence[CodeRow]) -> Table:
    """Return what takes no hours, and why."""
    booked = [row.booked_ms for row in rows]
    rounded = quarter_hours(sum(booked), booked)
    made = [
        Row((*named(row), closed_words(row), booked), "closed")
        for row, booked in zip(rows, rounded, strict=True)
    ]
    if rows:
        made.append(Row((f"All closed codes: {len(rows)}", sum(rounded, NOTHING)), "total", span=3))
    caption = "Finished, contingency, stopped or not instructed. Ask before you use one."
    return Table("No hours", caption, CLOSED, tuple(made), EMPTY["closed"])
