"""Why the hours changed, for the yard, as a page: one sentence, pictures, tables."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import shown_adding_to, to_places
from ledger.domain.overrun import (
    ASKED_BY_TITLES,
    BORNE_BY_TITLES,
    STEP_TITLES,
    net_growth_percent,
    shown_marks,
    shown_steps,
    total_change_percent,
)
from ledger.domain.parsing import MS_PER_HOUR
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.charts import WaterfallBar, side_by_side, waterfall
from ledger.reports.dates import written
from ledger.reports.figures import hours, number_text, whole_hours
from ledger.reports.tables import Chart, Column, Fact, Page, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, cut, visible_throughout
from ledger.reports.time_charts import Moment, TimelineRow, stacked_weeks, timeline
from ledger.reports.yard.overrun import BEARERS, ChangeOverTime, PartRow, YardOverrun

TITLE = "Why the hours changed"
TOTALS = ("original_budget", "anticipated_final")
WHOSE = ("Contract work", "The owner's changes", "Open with the owner", "The yard's own")
KINDS = {
    "package": "package",
    "planning": "planning",
    "undistributed": "not distributed",
    "variation": "variation",
    "request": "request",
    "contingency": "contingency",
    "non_productive": "time lost",
    "untagged": "unknown codes",
}
CAUTION = (
    "Who bears what is the yard's reckoning by its settings, not a finding on entitlement: that is "
    "for the contract and those who apply it. This report holds the yard's own figures; it is not "
    "meant for the owner, who has the statement."
)
HOW_TO_READ = (
    "Hours are labour hours. A forecast is made for each package and trade; hours to come are what "
    "it adds to those booked and earned.",
    "A step opens by the command trace, down to entries and the lines of the timesheets.",
    "Weeks are those in which the work was done. On a fixed price the hours of a change stand with "
    "the owner as they were worked, whatever was agreed.",
)
MOST_LIVES = 30
NAME_ROOM = 34  # Letters of a name beside a drawing.
DECIDED = {"approved": "diamond", "accepted": "diamond"}


def overrun_page(view: YardOverrun) -> Page:
    """Return the report ready to be shown; the digest is that of the view as it was given."""
    seal = digest(view)
    overrun: YardOverrun = visible_throughout(view)
    code = cut(overrun.job, NAME_LENGTH)
    title = cut(overrun.title, page_parts.LINE_LENGTH)
    return Page(
        title=TITLE,
        subject=f"{code} · {title}",
        letterhead=page_parts.letterhead(overrun.yard),
        facts=(
            Fact("Status date", written(overrun.status_date)),
            Fact("Compared with", written(overrun.last_date) if overrun.last_date else "nothing"),
            Fact("As recorded by", f"record stamp {overrun.known_at.sequence}"),
        ),
        headline=headline(overrun),
        figures=figures(overrun),
        sections=tuple(sections(overrun)),
        how_to_read=HOW_TO_READ,
        caution=CAUTION,
        proof=page_parts.proof(overrun.known_at, view, overrun.remade_by),
        running=(f"{TITLE} · {code} · {title}", f"Status date {written(overrun.status_date)}"),
        foot=page_parts.foot(overrun.known_at, seal),
        banner=page_parts.banner(rehearsal=overrun.rehearsal),
        cover="Report",
    )


def headline(view: YardOverrun) -> str:
    """Return the whole story in a sentence or two."""
    amounts = view.amounts
    growth = view.growth_ms
    final = number_text(whole_hours(amounts["anticipated_final"]))
    original = number_text(whole_hours(amounts["original_budget"]))
    more = "above" if growth >= 0 else "below"
    story = (
        f"The job is forecast to end at {final} h, {number_text(whole_hours(abs(growth)))} h "
        f"{more} the original estimate of {original} h."
    )
    asked = {row.mark: row.ms for row in view.asked_by}
    borne = {row.mark: row.ms for row in view.borne_by}
    story += (
        f" The owner asked for {number_text(whole_hours(asked['owner']))} h of it; "
        f"{number_text(whole_hours(borne['owner']))} h are the owner's to bear as agreed, "
        f"{number_text(whole_hours(borne['yard']))} h the yard's, and "
        f"{number_text(whole_hours(growth - borne['owner'] - borne['yard']))} h are not settled."
    )
    incomplete = " Figures are incomplete: see status." if view.is_incomplete else ""
    return story + incomplete


def figures(view: YardOverrun) -> tuple[Fact, ...]:
    amounts = view.amounts
    moved = view.last_growth_ms
    since = (
        f"{number_text(whole_hours(view.growth_ms - moved), signed=True)} h since "
        f"{written(view.last_date)}"
        if moved is not None and view.last_date
        else ""
    )
    base = amounts["original_budget"]
    net, total = net_growth_percent(amounts), total_change_percent(amounts)
    return (
        Fact("Original estimate", f"{number_text(whole_hours(base))} h"),
        Fact("Anticipated final", f"{number_text(whole_hours(amounts['anticipated_final']))} h"),
        Fact("Growth", f"{number_text(whole_hours(view.growth_ms), signed=True)} h", since),
        Fact("Net growth agreed", _percent(net), "additions less omissions"),
        Fact("Total change agreed", _percent(total), "additions and omissions"),
    )


def _percent(percent: Fraction | None) -> str:
    """Return a percent to two places."""
    if percent is None:
        return "undefined"
    return f"{number_text(to_places(percent, 2), signed=True)} %"


def sections(view: YardOverrun) -> Iterator[Section]:
    """Yield the steps, who asked and bears, the largest parts, the weeks and the changes."""
    steps = shown_steps(view.amounts, MS_PER_HOUR)
    bars = [WaterfallBar(STEP_TITLES[s], int(v.scaleb(2)), s in TOTALS) for s, v in steps.items()]
    step_words = ", ".join(f"{STEP_TITLES[s]} {number_text(v)}" for s, v in steps.items())
    picture = Chart(
        waterfall(bars),
        f"Steps in hours: {step_words}.",
        "Steps from the original estimate, in hours",
    )
    yield Section("From the estimate to the end", _steps_table(view, steps), picture)
    yield Section("Who asked, who bears", _marks_table(view, steps))
    yield Section("Largest contributors", _parts_table(view), _parts_chart(view))
    yield Section("Hours by week", _weeks_table(view), _weeks_chart(view))
    yield Section("Change by change", _changes_table(view), _changes_chart(view))


HOURS = ("hours", "h")


def _steps_table(view: YardOverrun, steps: dict[str, Decimal]) -> Table:
    columns = (
        Column("Step", "text"),
        Column("Hours", *HOURS),
        Column("To date", *HOURS),
        Column("To come", *HOURS),
        Column("Before", *HOURS, missing=""),
    )
    rows = []
    for row in view.steps:
        to_date = None if row.to_date_ms is None else hours(row.to_date_ms)
        to_come = None if to_date is None else steps[row.step] - to_date
        before = None if row.last_ms is None else hours(row.last_ms)
        kind = "total" if row.step == "anticipated_final" else "plain"
        rows.append(Row((STEP_TITLES[row.step], steps[row.step], to_date, to_come, before), kind))
    caption = _caption(view, "The steps add up to the anticipated final.")
    return Table("Steps", caption, columns, tuple(rows))


def _caption(view: YardOverrun, words: str) -> str:
    before = f" Before: as of {written(view.last_date)}." if view.last_date else ""
    return f"{words}{before}"


def _marks_table(view: YardOverrun, steps: dict[str, Decimal]) -> Table:
    columns = (
        Column("Mark", "text"),
        Column("Hours", *HOURS),
        Column("Before", *HOURS, missing=""),
    )
    rows: list[Row] = []
    for head, marks, titles in (
        ("Asked by", view.asked_by, ASKED_BY_TITLES),
        ("Borne by", view.borne_by, BORNE_BY_TITLES),
    ):
        amounts = shown_marks({row.mark: row.ms for row in marks}, steps, MS_PER_HOUR)
        before = {r.mark: None if r.last_ms is None else hours(r.last_ms) for r in marks}
        rows.append(Row((head,), "group", span=3))
        rows += [Row((titles[m], v, before[m])) for m, v in amounts.items()]
        last = None if view.last_growth_ms is None else hours(view.last_growth_ms)
        rows.append(Row(("growth", sum(amounts.values(), Decimal("0.00")), last), "subtotal"))
    caption = _caption(view, "Each splits the growth over the original estimate.")
    return Table("Marks", caption, columns, tuple(rows))


def _parts_table(view: YardOverrun) -> Table:
    columns = (
        Column("Work", "text"),
        Column("Kind", "standing"),
        Column("Original", *HOURS),
        Column("Booked", *HOURS),
        Column("Forecast", *HOURS),
        Column("Growth", *HOURS),
    )
    rows = [Row(_part_cells(row)) for row in view.largest]
    listed = sum(row.growth_ms for row in view.largest)
    rest = hours(view.growth_ms) - sum((hours(r.growth_ms) for r in view.largest), Decimal("0.00"))
    if listed != view.growth_ms:
        rows.append(Row(("all others", "", None, None, None, rest), "aside"))
    total = ("growth", "", None, None, None, hours(view.growth_ms))
    rows.append(Row(total, "total"))
    return Table(
        "Contributors",
        "The ten parts that will end furthest from their original estimate.",
        columns,
        tuple(rows),
        "No part is forecast to end above or below its estimate.",
    )


def _part_cells(row: PartRow) -> tuple[str | Decimal, ...]:
    original, forecast = hours(row.original_ms), hours(row.forecast_ms)
    kind = KINDS[row.kind]
    name = f"{row.code} {row.title}" if row.title else kind
    return (name, kind, original, hours(row.booked_ms), forecast, hours(row.growth_ms))


def _parts_chart(view: YardOverrun) -> Chart | None:
    if not view.largest:
        return None
    bars = [WaterfallBar(_label(row), int(hours(row.growth_ms).scaleb(2))) for row in view.largest]
    bar_words = ", ".join(
        f"{bar.label} {number_text(Decimal(bar.amount).scaleb(-2))}" for bar in bars
    )
    return Chart(
        side_by_side(bars),
        f"Growth in hours: {bar_words}.",
        "Growth of the largest contributors, in hours",
    )


def _label(row: PartRow) -> str:
    return _short(f"{row.code} {row.title}" if row.title else KINDS[row.kind])


def _short(label: str) -> str:
    """Return a name as it fits beside a drawing; the table has it whole."""
    return label if len(label) <= NAME_ROOM else f"{label[: NAME_ROOM - 1].rstrip()}…"


def _weeks_table(view: YardOverrun) -> Table:
    columns = (
        Column("Week to", "date"),
        *(Column(w, *HOURS) for w in WHOSE),
        Column("All", *HOURS),
    )
    rows = [
        Row((week.last_day, *(split := shown_adding_to(hours(sum(week.ms)), week.ms)), sum(split)))
        for week in view.weeks
        if any(week.ms)
    ]
    totals = [sum(week.ms[place] for week in view.weeks) for place in range(len(BEARERS))]
    split = shown_adding_to(hours(view.booked_ms), totals)
    rows.append(Row(("All", *split, sum(split)), "total"))
    caption = "Hours booked, by whose they are; weeks without hours are left out."
    return Table("Weeks", caption, columns, tuple(rows))


def _weeks_chart(view: YardOverrun) -> Chart | None:
    drawn = [week for week in view.weeks if week.last_day >= view.planned_start]
    if not drawn:
        return None
    layers = [
        [max(0, int(hours(week.ms[place]).scaleb(2))) for week in drawn]
        for place in range(len(BEARERS))
    ]
    ends = [week.last_day for week in drawn]
    totals = [sum(week.ms[place] for week in drawn) for place in range(len(BEARERS))]
    week_words = ", ".join(
        f"{words} {number_text(whole_hours(ms))} h" for words, ms in zip(WHOSE, totals, strict=True)
    )
    before = view.booked_ms - sum(totals)
    left = f"; {number_text(hours(before))} h of weeks before the start are in the table alone"
    return Chart(
        stacked_weeks(ends, layers, WHOSE),
        f"Hours booked by week from {written(ends[0])} to {written(ends[-1])}: {week_words}.",
        f"Hours booked by week, by whose they are{left if before else ''}",
    )


def _changes_table(view: YardOverrun) -> Table:
    columns = (
        Column("Change", "code"),
        Column("Work", "text"),
        Column("Arising from", "basis"),
        Column("Price", "standing"),
        Column("Asked for", "date"),
        Column("Priced", *HOURS),
        Column("Booked", *HOURS),
        Column("Forecast", *HOURS),
    )
    rows = [
        Row(
            (
                *(row.code, row.title, ASKED_BY_TITLES[row.origin]),
                *(row.standing.replace("_", " "), row.requested_on),
                None if row.priced_ms is None else hours(row.priced_ms),
                *(hours(row.booked_ms), hours(row.forecast_ms)),
            )
        )
        for row in view.changes
    ]
    return Table(
        "Changes",
        "In the order they were asked for.",
        columns,
        tuple(rows),
        "No change was asked for.",
    )


def _changes_chart(view: YardOverrun) -> Chart | None:
    if not view.changes:
        return None
    listed = sorted(view.changes, key=lambda row: -max(row.forecast_ms, row.booked_ms))[:MOST_LIVES]
    rows = [row for row in view.changes if row in listed]
    first = min(view.planned_start, *(row.requested_on for row in rows))
    keys = (
        ("circle", "asked for"),
        ("triangle", "instructed"),
        ("diamond", "approved"),
        ("cross", "declined, disputed or withdrawn"),
    )
    lives = "; ".join(_life_words(row) for row in rows)
    more = "" if len(rows) == len(view.changes) else f", the {MOST_LIVES} with most hours"
    return Chart(
        timeline([_life(row) for row in rows], first, view.status_date, keys),
        f"Changes over time: {lives}.",
        f"Changes over time{more}; the grey bar runs from the first hours booked to the last",
    )


def _life(row: ChangeOverTime) -> TimelineRow:
    moments = [Moment(row.requested_on, "circle")]
    if row.instructed_on:
        moments.append(Moment(row.instructed_on, "triangle"))
    if row.decided_on:
        moments.append(Moment(row.decided_on, DECIDED.get(row.decision, "cross")))
    worked = (row.first_day, row.last_day) if row.first_day and row.last_day else None
    return TimelineRow(_short(f"{row.code} {row.title}"), tuple(moments), worked)


def _life_words(row: ChangeOverTime) -> str:
    events = [f"{row.code} asked for {written(row.requested_on)}"]
    if row.instructed_on:
        events.append(f"instructed {written(row.instructed_on)}")
    if row.decided_on:
        events.append(f"{row.decision.replace('_', ' ')} {written(row.decided_on)}")
    return ", ".join(events)
