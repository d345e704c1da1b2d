"""Charts of lines over weeks as SVG, read in grey: lines differ by width and dashes, and are named.

A chart holds only words of our own and whole numbers; its figures stand in a table beside it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from ledger.reports.charts import ink, line, tenth, text
from ledger.reports.dates import MONTHS
from ledger.reports.tokens import colour

LEFT, RIGHT, ABOVE, BELOW = 52, 118, 12, 40
WIDTH, HEIGHT = 649, 280
PLOT_WIDTH, PLOT_HEIGHT = WIDTH - LEFT - RIGHT, HEIGHT - ABOVE - BELOW
LABEL_APART = 13
LETTER = 6  # What a letter of a label takes across, with some room.
MOST_MONTHS = 12


@dataclass(frozen=True)
class ChartLine:
    """A line through whole values by days; `dash` is the pattern that tells it apart in grey."""

    label: str
    points: tuple[tuple[date, int], ...]
    token: str
    width: str = "1.6"
    dash: str = ""


@dataclass(frozen=True)
class Fan:
    """What may come: from one point to the lowest and the highest value on a later day."""

    start: tuple[date, int]
    end: date
    low: int
    high: int


@dataclass(frozen=True)
class LevelMark:
    """A level across the plot, with its name above it: on the left, or right of the status date."""

    label: str
    value: int


@dataclass(frozen=True)
class Axis:
    """The upright axis: from the least to the most, a figure at each step, shown as `figures`."""

    low: int
    high: int
    step: int
    figures: tuple[str, ...]
    title: str


@dataclass(frozen=True)
class Plot:
    """What a chart shows between two days; `day` is the status date, drawn upright."""

    lines: tuple[ChartLine, ...]
    axis: Axis
    first: date
    last: date
    day: date
    fan: Fan | None = None
    marks: tuple[LevelMark, ...] = ()


def line_chart(plot: Plot) -> str:
    """Return the SVG of a plot."""
    elements = "".join(
        [
            *_grid(plot),
            *_months(plot),
            *_fan(plot),
            *_levels(plot),
            *(_drawn(plot, each) for each in plot.lines),
            *_labels(plot),
        ]
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" '
        f'viewBox="0 0 {WIDTH} {HEIGHT}" font-family="Page Sans, sans-serif" font-size="11">'
        f"{elements}</svg>"
    )


def across(plot: Plot, day: date) -> int:
    """Return where a day lies, in tenths, kept inside the plot."""
    whole = max((plot.last - plot.first).days, 1)
    passed = min(max((day - plot.first).days, 0), whole)
    return 10 * LEFT + 10 * PLOT_WIDTH * passed // whole


def _up(plot: Plot, value: int) -> int:
    """Return where a value lies, in tenths from above, kept inside the plot."""
    low, high = plot.axis.low, plot.axis.high
    kept = min(max(value, low), high)
    return 10 * ABOVE + 10 * PLOT_HEIGHT * (high - kept) // max(high - low, 1)


def _place(plot: Plot, point: tuple[date, int]) -> str:
    return f"{tenth(across(plot, point[0]))} {tenth(_up(plot, point[1]))}"


def _grid(plot: Plot) -> Iterator[str]:
    """Yield the level lines with their figures, and what they are."""
    axis = plot.axis
    right = tenth(10 * (LEFT + PLOT_WIDTH))
    for value, figure in zip(range(axis.low, axis.high + 1, axis.step), axis.figures, strict=True):
        y = _up(plot, value)
        yield line((str(LEFT), tenth(y)), (right, tenth(y)), "line", "0.5")
        yield text(figure, str(LEFT - 5), y // 10 + 4, f'text-anchor="end" {ink("muted")}')
    yield text(axis.title, "0", HEIGHT - 5, ink("muted"))


def _months(plot: Plot) -> Iterator[str]:
    """Yield the months under the plot, thinned where they are many, and the status date."""
    firsts = _first_days(plot.first, plot.last)
    every = -(-len(firsts) // MOST_MONTHS)
    bottom = ABOVE + PLOT_HEIGHT
    for number, day in enumerate(firsts):
        x = tenth(across(plot, day))
        yield line((x, str(bottom)), (x, str(bottom + 4)), "muted", "0.7")
        if number % every == 0:
            year = f" {day.year}" if number == 0 or day.month == 1 else ""
            name = MONTHS[day.month - 1][:3] + year
            yield text(name, x, bottom + 16, f'text-anchor="middle" {ink("muted")}')
    x = tenth(across(plot, plot.day))
    yield line((x, str(ABOVE)), (x, str(bottom)), "muted", "0.7")


def _first_days(first: date, last: date) -> list[date]:
    """Return the first days of the months between two days."""
    days = []
    day = first.replace(day=1)
    while day <= last:
        if day >= first:
            days.append(day)
        day = (day + timedelta(days=32)).replace(day=1)
    return days


def _fan(plot: Plot) -> Iterator[str]:
    if plot.fan:
        fan = plot.fan
        path = "L".join(
            _place(plot, point) for point in (fan.start, (fan.end, fan.high), (fan.end, fan.low))
        )
        yield (
            f'<path d="M{path}Z" {ink("shade")} stroke="{colour("rule")}" '
            'stroke-width="0.6" stroke-dasharray="1 2"/>'
        )


def _levels(plot: Plot) -> Iterator[str]:
    for mark in plot.marks:
        y = _up(plot, mark.value)
        right = tenth(10 * (LEFT + PLOT_WIDTH))
        yield line((str(LEFT), tenth(y)), (right, tenth(y)), "ink", "0.8")
        yield text(mark.label, str(_beside(plot, mark)), y // 10 - 4, ink("ink"))


def _beside(plot: Plot, mark: LevelMark) -> int:
    """Return where the name of a level begins, so that the status date does not cross it."""
    status, width = across(plot, plot.day) // 10, LETTER * len(mark.label)
    return status + 4 if LEFT < status < LEFT + 4 + width else LEFT + 4


def _drawn(plot: Plot, each: ChartLine) -> str:
    path = "L".join(_place(plot, point) for point in each.points)
    dash = f' stroke-dasharray="{each.dash}"' if each.dash else ""
    return (
        f'<path d="M{path}" fill="none" stroke="{colour(each.token)}" '
        f'stroke-width="{each.width}"{dash} stroke-linejoin="round"/>'
        if each.points
        else ""
    )


def _labels(plot: Plot) -> Iterator[str]:
    """Yield the name of each line on the right of the plot, at its end or as near as there is room.

    A sample of the line goes before its name.
    """
    named = [(each, _up(plot, each.points[-1][1]) // 10) for each in plot.lines if each.points]
    if plot.fan:
        fan = ChartLine("forecast range", (), "rule", "0.8", "1 2")
        named.append((fan, _up(plot, (plot.fan.low + plot.fan.high) // 2) // 10))
    named.sort(key=lambda pair: pair[1])
    places = _apart([y for _, y in named])
    x = LEFT + PLOT_WIDTH + 6
    for (each, _), y in zip(named, places, strict=True):
        dash = f' stroke-dasharray="{each.dash}"' if each.dash else ""
        yield (
            f'<path d="M{x} {y}L{x + 18} {y}" fill="none" stroke="{colour(each.token)}" '
            f'stroke-width="{each.width}"{dash}/>'
        )
        yield text(each.label, str(x + 22), y + 4, ink("ink"))


def _apart(places: Sequence[int]) -> list[int]:
    """Return places in order, moved so that none is nearer to another than a name needs."""
    kept: list[int] = []
    for place in places:
        kept.append(max(place, kept[-1] + LABEL_APART) if kept else max(place, ABOVE))
    bottom = ABOVE + PLOT_HEIGHT
    for number in reversed(range(len(kept))):
        limit = bottom if number == len(kept) - 1 else kept[number + 1] - LABEL_APART
        kept[number] = min(kept[number], limit)
    return kept
