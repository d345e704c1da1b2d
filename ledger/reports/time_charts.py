"""Charts over time: hours by week stacked by whose they are, and what came of changes and when.

Drawn like all charts, in tenths of a unit; what a fill or a mark means stands above the drawing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from ledger.reports.charts import ink, line, scale_of, tenth, text
from ledger.reports.dates import MONTHS
from ledger.reports.figures import number_text
from ledger.reports.tokens import colour

WIDTH = 649
LEFT, TOP, PLOT_HEIGHT, BELOW = 44, 26, 170, 20
# Of each layer the fill and the outline, from dark to light: told apart in grey.
FILLS = (("shade", "rule"), ("slate", "slate"), ("paper", "ink"), ("bar", "bar"))
LABEL, ROW = 205, 18
KEY_GAP = 14
LAST_NAME = 10 * (WIDTH - 24)  # Where the name of a month still fits, in tenths.


@dataclass(frozen=True)
class Moment:
    """A mark on a row of a timeline: a day, and its shape: circle, triangle, diamond or cross."""

    day: date
    shape: str


@dataclass(frozen=True)
class TimelineRow:
    """A row of a timeline: its name, its marks, and the days from its first to its last hours."""

    label: str
    moments: tuple[Moment, ...]
    worked: tuple[date, date] | None


def stacked_weeks(
    ends: Sequence[date], layers: Sequence[Sequence[int]], keys: Sequence[str]
) -> str:
    """Return the SVG of weeks as columns; `layers` has hundredths of an hour by week, 0 or more.

    `keys` says what each layer is, from the lowest.
    """
    totals = [sum(week) for week in zip(*layers, strict=True)]
    scale = scale_of([*totals, 0])

    def height(value: int) -> int:
        return 10 * PLOT_HEIGHT * value // scale.high

    elements = [*_keys([_square(number) for number in range(len(keys))], keys, 0)]
    for value in scale.marks():
        y = tenth(10 * (TOP + PLOT_HEIGHT) - height(value))
        elements.append(line((str(LEFT), y), (str(WIDTH), y), "line", "0.5"))
        at = TOP + PLOT_HEIGHT - height(value) // 10 + 4
        elements.append(text(number_text(value // 100), str(LEFT - 6), at, _small("end")))
    step = 10 * (WIDTH - LEFT) // max(1, len(ends))
    for number in range(len(ends)):
        left, base = 10 * LEFT + step * number, 10 * (TOP + PLOT_HEIGHT)
        for layer, fill in zip(layers, FILLS, strict=False):
            if tall := height(layer[number]):
                elements.append(
                    _box((left + step // 10, base - tall), (step * 8 // 10, tall), fill)
                )
                base -= tall
    elements += _months(ends, 10 * LEFT, step)
    return _svg(TOP + PLOT_HEIGHT + BELOW, elements)


def timeline(
    rows: Sequence[TimelineRow], first: date, last: date, keys: Sequence[tuple[str, str]]
) -> str:
    """Return the SVG of rows over the days from first to last; `keys` pairs shapes with words."""
    days = max(1, (last - first).days)

    def place(day: date) -> int:
        inside = min(max(day, first), last)
        return 10 * LABEL + 10 * (WIDTH - LABEL - 8) * (inside - first).days // days

    bottom = TOP + ROW * len(rows)
    elements = [
        *_keys([_shape(shape, 50, 90) for shape, _ in keys], [words for _, words in keys], 0)
    ]
    for month in _month_starts(first, last):
        x = place(month)
        elements.append(line((tenth(x), str(TOP)), (tenth(x), str(bottom)), "line", "0.5"))
        if x <= LAST_NAME:
            elements.append(text(_month(month), tenth(x), bottom + 12, _small("start")))
    for number, row in enumerate(rows):
        middle = TOP + ROW * number + ROW // 2
        elements.append(text(row.label, "0", middle + 4, f'font-size="11" {ink("ink")}'))
        if row.worked:
            left, right = place(row.worked[0]), place(row.worked[1])
            size = (max(right - left, 20), 60)
            elements.append(_box((left, 10 * middle - 30), size, ("shade", "rule")))
        elements += [_shape(m.shape, place(m.day), 10 * middle) for m in row.moments]
    return _svg(bottom + BELOW, elements)


def _keys(marks: Sequence[str], words: Sequence[str], left: int) -> Iterator[str]:
    """Yield what each mark means, side by side above the drawing."""
    for mark, label in zip(marks, words, strict=True):
        yield f'<g transform="translate({left} 0)">{mark}</g>'
        yield text(label, str(left + KEY_GAP), 13, f'font-size="11" {ink("ink")}')
        left += KEY_GAP + 6 * len(label) + 16


def _square(number: int) -> str:
    return _box((0, 40), (100, 100), FILLS[number])


def _shape(kind: str, x: int, y: int) -> str:
    """Return a mark about a point, in tenths."""
    if kind == "circle":
        centre = f'cx="{tenth(x)}" cy="{tenth(y)}"'
        return (
            f'<circle {centre} r="4" {ink("paper")} stroke="{colour("ink")}" stroke-width="1.4"/>'
        )
    paths = {
        "triangle": ((0, -48), (46, 38), (-46, 38)),
        "diamond": ((0, -52), (46, 0), (0, 52), (-46, 0)),
    }
    if kind == "cross":
        ends = [((x - 38, y - 38), (x + 38, y + 38)), ((x - 38, y + 38), (x + 38, y - 38))]
        return "".join(
            line((tenth(a), tenth(b)), (tenth(c), tenth(d)), "ink", "1.8")
            for (a, b), (c, d) in ends
        )
    points = "L".join(f"{tenth(x + dx)} {tenth(y + dy)}" for dx, dy in paths[kind])
    fill = "ochre" if kind == "triangle" else "slate"
    return f'<path d="M{points}Z" {ink(fill)} stroke="{colour(fill)}"/>'


def _box(corner: tuple[int, int], size: tuple[int, int], fill: tuple[str, str]) -> str:
    (x, y), (width, height) = corner, size
    return (
        f'<path d="M{tenth(x)} {tenth(y)}h{tenth(width)}v{tenth(height)}h{_minus(width)}Z" '
        f'{ink(fill[0])} stroke="{colour(fill[1])}" stroke-width="0.7"/>'
    )


def _minus(tenths: int) -> str:
    return f"-{tenth(tenths)}"


def _months(ends: Sequence[date], left: int, step: int) -> Iterator[str]:
    """Yield the name of each month under its first week, as far apart as they can be read."""
    last_x = -1000
    for number, day in enumerate(ends):
        x = left + step * number
        is_first = number == 0 or day.month != ends[number - 1].month
        if is_first and x - last_x >= 480 and x <= LAST_NAME:
            yield text(_month(day), tenth(x), TOP + PLOT_HEIGHT + 14, _small("start"))
            last_x = x


def _month_starts(first: date, last: date) -> Iterator[date]:
    """Yield the first days of months within a span, twelve of them at the most."""
    starts = []
    day = first.replace(day=1)
    while day <= last:
        if day >= first:
            starts.append(day)
        day = (day + timedelta(days=32)).replace(day=1)
    every = -(-len(starts) // 12)
    yield from starts[:: max(1, every)]


def _month(day: date) -> str:
    name = MONTHS[day.month - 1][:3]
    return f"{name} {day.year}" if day.month == 1 else name


def _small(anchor: str) -> str:
    return f'font-size="10" text-anchor="{anchor}" {ink("muted")}'


def _svg(height: int, elements: Sequence[str]) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{height}" '
        f'viewBox="0 0 {WIDTH} {height}" font-family="Page Sans, sans-serif">'
        f"{''.join(elements)}</svg>"
    )
