"""The two charts of the performance report: hours over time, and indices over time."""

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal

from ledger.domain.forecast import is_early
from ledger.domain.parsing import MS_PER_HOUR
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.line_charts import Axis, ChartLine, Fan, LevelMark, Plot, line_chart
from ledger.reports.tables import Chart
from ledger.reports.yard.performance import PerformanceReport, WeekStanding
from ledger.reports.yard.performance_words import hours_text, index_text, range_words

MOST_STEPS = 6
LEAST_INDEX, MOST_INDEX, INDEX_STEP = 500, 1500, 100  # In thousandths.
WEEK = timedelta(days=7)


def hours_chart(view: PerformanceReport) -> Chart | None:
    """Return planned, earned and booked hours with the range of the forecast; None without any."""
    if not view.weeks:
        return None
    begin = view.weeks[0].period_end - WEEK, 0
    weeks = view.weeks
    planned = [
        *((each.period_end, each.pv_ms) for each in weeks),
        *((e.period_end, e.pv_ms) for e in view.to_come),
    ]
    curves = {
        "pv": [(day, _hours(ms)) for day, ms in planned],
        "ev": [(each.period_end, _hours(each.ev_ms)) for each in weeks],
        "ac": [(each.period_end, _hours(each.ac_ms)) for each in weeks],
    }
    lines = [
        ChartLine("planned (PV)", (begin, *curves["pv"]), "muted", "1.2", "5 3"),
        ChartLine("earned (EV)", (begin, *curves["ev"]), "slate", "2.6"),
        ChartLine("booked (AC)", (begin, *curves["ac"]), "ochre", "1.4"),
    ]
    fan = _fan(view)
    end = planned[-1][0]
    if fan:
        end = max(end, fan.end)
        ahead = (fan.start, (fan.end, _hours(view.whole.eac_ms)))
        lines.append(ChartLine("forecast (EAC)", ahead, "ochre", "1.4", "2 3"))
    budget = _hours(view.whole.bac_ms)
    tops = [budget, fan.high if fan else 0, *(value for each in lines for _, value in each.points)]
    plot = Plot(
        tuple(lines),
        hours_axis(max(tops)),
        begin[0],
        end,
        view.status_date,
        fan,
        (LevelMark(f"budget (BAC) {number_text(budget)} h", budget),) if budget else (),
    )
    return Chart(line_chart(plot), _hours_in_words(view), _caption(view))


def _fan(view: PerformanceReport) -> Fan | None:
    """Return the range from what is booked to the end, None where the work is over."""
    end = view.time.forecast_finish
    if end is None or end <= view.status_date or view.forecast_range_ms is None:
        return None
    low, high = view.forecast_range_ms
    return Fan((view.status_date, _hours(view.whole.ac_ms)), end, _hours(low), _hours(high))


def _hours(ms: int) -> int:
    return ms // MS_PER_HOUR


def _caption(view: PerformanceReport) -> str:
    caption = f"Labour hours, cumulative by week; the upright line is {written(view.status_date)}"
    return f"{caption}." if not view.to_come else f"{caption}, right of it the plan and forecast."


def _hours_in_words(view: PerformanceReport) -> str:
    whole, between = view.whole, range_words(view)
    forecast = f"Forecast {hours_text(whole.eac_ms)}" + (f", range {between}." if between else ".")
    return (
        f"Labour hours over time. By {written(view.status_date)}: "
        f"planned {hours_text(whole.pv_ms)}, earned {hours_text(whole.ev_ms)}, "
        f"booked {hours_text(whole.ac_ms)}, of a budget of {hours_text(whole.bac_ms)}. "
        f"{forecast}"
    )


def hours_axis(most: int) -> Axis:
    """Return an axis from nothing in round steps, six at most."""
    step = 1
    while most > MOST_STEPS * step:
        step = step * 5 // 2 if str(step)[0] == "2" else step * 2
    high = max(-(-most // step), 1) * step
    figures = tuple(number_text(value) for value in range(0, high + 1, step))
    return Axis(0, high, step, figures, "hours of labour")


def drawn_weeks(view: PerformanceReport) -> list[WeekStanding]:
    """Return the weeks whose indices are drawn: at least 5 % of the budget is earned."""
    bac = view.whole.bac_ms
    return [each for each in view.weeks if bac > 0 and not is_early(each.ev_ms, bac)]


def index_chart(view: PerformanceReport) -> Chart | None:
    """Return CPI and SPI(t) week by week; None before enough is earned."""
    weeks = drawn_weeks(view)
    lines = (
        ChartLine("CPI", _points(weeks, "cpi"), "ochre", "2.4"),
        ChartLine("SPI(t)", _points(weeks, "spi_time"), "slate", "1.4", "6 3"),
    )
    values = [value for each in lines for _, value in each.points]
    if len(weeks) < 2 or not values:
        return None
    plot = Plot(
        lines,
        index_axis(values),
        weeks[0].period_end,
        weeks[-1].period_end,
        view.status_date,
        marks=(LevelMark("as planned", 1000),),
    )
    last = weeks[-1]
    words = (
        f"Indices over time, 1 is as planned. At the end: CPI {index_text(last.cpi)}, "
        f"SPI(t) {index_text(last.spi_time)}."
    )
    caption = (
        "CPI above 1: fewer hours booked than were earned. SPI(t) above 1: less time than planned "
        "for what was done. Below 1: more."
    )
    return Chart(line_chart(plot), words, caption)


def _points(weeks: Sequence[WeekStanding], name: str) -> tuple[tuple[date, int], ...]:
    known: list[tuple[date, Decimal | None]] = [
        (each.period_end, getattr(each, name)) for each in weeks
    ]
    return tuple((day, int(value * 1000)) for day, value in known if value is not None)


def index_axis(values: Sequence[int]) -> Axis:
    """Return an axis in tenths that holds 1 and the values, between 0.5 and 1.5."""
    low = max(LEAST_INDEX, min(900, *values) // INDEX_STEP * INDEX_STEP)
    high = min(MOST_INDEX, -(-max(1100, *values) // INDEX_STEP) * INDEX_STEP)
    low, high = min(low, 900), max(high, 1100)
    figures = tuple(
        number_text(Decimal(value).scaleb(-3).quantize(Decimal("0.1")))
        for value in range(low, high + 1, INDEX_STEP)
    )
    return Axis(low, high, INDEX_STEP, figures, "index")
