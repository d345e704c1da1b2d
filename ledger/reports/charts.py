"""Charts drawn as SVG, the same for paper and for the browser, in whole tenths of a unit.

A chart holds only words of our own and whole numbers; its figures stand in a table beside it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from markupsafe import escape

from ledger.language import _
from ledger.reports.figures import number_text
from ledger.reports.tokens import colour

# The fill and the outline of each kind of bar, and the ink, as tokens name them.
FILL = {"total": "slate", "more": "bar", "less": "paper"}
OUTLINE = {"total": "slate", "more": "bar", "less": "ink"}
ROW_HEIGHT, BAR_HEIGHT = 21, 12
GAP = (ROW_HEIGHT - BAR_HEIGHT) // 2
LABEL_WIDTH, PLOT_WIDTH = 205, 440
ABOVE, BELOW, BESIDE = 2, 32, 4  # Under the rows stand the axis's figures and its title.
AXIS_TITLE = "hours above (+) or below (\N{MINUS SIGN}) the original estimate"
HOUR = 100  # A bar is measured in hundredths.
MOST_MARKS = 6


@dataclass(frozen=True)
class WaterfallBar:
    """A step of a waterfall in hundredths of its unit; a total begins the sum anew from nothing."""

    label: str
    amount: int
    is_total: bool = False


@dataclass(frozen=True)
class BarSpan:
    """A bar as it lies on the scale: where it begins and ends, and what it is."""

    label: str
    start: int
    end: int
    kind: str


@dataclass(frozen=True)
class Scale:
    """An axis in hundredths: from the least to the most, with a figure at each step."""

    low: int
    high: int
    step: int

    def place(self, value: int) -> str:
        """Return where a value lies across the drawing, to a tenth."""
        whole = self.high - self.low
        tenths = (20 * PLOT_WIDTH * (value - self.low) + whole) // (2 * whole)
        return tenth(10 * LABEL_WIDTH + tenths)

    def marks(self) -> range:
        return range(-(-self.low // self.step) * self.step, self.high + 1, self.step)


def waterfall(bars: Sequence[WaterfallBar], axis_title: str = "") -> str:
    """Return the SVG of the steps as differences from the first total, which is the zero line.

    `axis_title` says what the scale measures; without one, hours against the original estimate.
    """
    return _drawn(columns_of(bars), axis_title, is_sum=True)


def side_by_side(bars: Sequence[WaterfallBar], axis_title: str = "") -> str:
    """Return the SVG of amounts that each begin at the zero line; a total is darker."""
    spans = [BarSpan(b.label, 0, b.amount, _kind(b)) for b in bars]
    return _drawn(spans, axis_title, is_sum=False)


def _kind(bar: WaterfallBar) -> str:
    if bar.is_total:
        return "total"
    return "less" if bar.amount < 0 else "more"


def _drawn(columns: Sequence[BarSpan], axis_title: str, *, is_sum: bool) -> str:
    scale = scale_of([each.end for each in columns])
    width = LABEL_WIDTH + PLOT_WIDTH + BESIDE
    height = ABOVE + ROW_HEIGHT * len(columns) + BELOW
    joins = joints(columns, scale) if is_sum else ()
    marks = axis(scale, len(columns), axis_title or _(AXIS_TITLE))
    elements = "".join([*marks, *joins, *rows(columns, scale)])
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" font-family="Page Sans, sans-serif" font-size="11">'
        f"{elements}</svg>"
    )


def columns_of(bars: Sequence[WaterfallBar]) -> list[BarSpan]:
    """Return where each bar begins and ends, against the first total."""
    ends = accumulate(0 if bar.is_total else bar.amount for bar in bars)
    return [
        BarSpan(bar.label, 0, end, "total")
        if bar.is_total
        else BarSpan(bar.label, end - bar.amount, end, _kind(bar))
        for bar, end in zip(bars, ends, strict=True)
    ]


def scale_of(values: Sequence[int]) -> Scale:
    """Return a scale of round steps, six at most, that holds the values and zero."""
    low, high = min(0, *values), max(0, *values)
    step, half = next(each for each in round_steps() if high - low <= MOST_MARKS * each[0])
    least, most = low // half * half, -(-high // half) * half
    return Scale(least, max(most, least + half), step)


def round_steps() -> Iterator[tuple[int, int]]:
    """Yield one, two and five units, tens of them and so on, each with a round half or less."""
    decade = HOUR
    while True:
        yield from ((decade, decade // 2), (2 * decade, decade), (5 * decade, 2 * decade))
        decade *= 10


def axis(scale: Scale, count: int, title: str) -> Iterator[str]:
    """Yield the scale's lines behind the bars, its figures under them and what they mean."""
    bottom = ABOVE + ROW_HEIGHT * count
    for value in scale.marks():
        x = scale.place(value)
        yield line((x, tenth(10 * ABOVE)), (x, tenth(10 * bottom)), "line", "0.5")
    for value in scale.marks():
        anchor = {scale.low: "start", scale.high: "end"}.get(value, "middle")
        figure = number_text(value // HOUR)
        yield text(
            figure, scale.place(value), bottom + 12, f'text-anchor="{anchor}" {ink("muted")}'
        )
    middle = tenth(10 * LABEL_WIDTH + 5 * PLOT_WIDTH)
    yield text(title, middle, bottom + 27, f'text-anchor="middle" {ink("muted")}')


def joints(columns: Sequence[BarSpan], scale: Scale) -> Iterator[str]:
    """Yield a thin line from the end of each step but the last to the next."""
    for number, each in enumerate(columns[:-1]):
        top, x = ABOVE + ROW_HEIGHT * number + GAP, scale.place(each.end)
        yield line((x, tenth(10 * top)), (x, tenth(10 * (top + ROW_HEIGHT))), "muted", "0.7")


def rows(columns: Sequence[BarSpan], scale: Scale) -> Iterator[str]:
    """Yield each step's name and bar."""
    for number, each in enumerate(columns):
        top = ABOVE + ROW_HEIGHT * number
        yield text(each.label, "0", top + 14, f'font-size="12" {ink("ink")}')
    for number, each in enumerate(columns):
        top = ABOVE + ROW_HEIGHT * number + GAP
        left, right = scale.place(min(each.start, each.end)), scale.place(max(each.start, each.end))
        yield (
            f'<path d="M{left} {top}H{right}V{top + BAR_HEIGHT}H{left}Z" '
            f'{ink(FILL[each.kind])} stroke="{colour(OUTLINE[each.kind])}"/>'
        )


def ink(token: str) -> str:
    return f'fill="{colour(token)}"'


def line(start: tuple[str, str], end: tuple[str, str], token: str, width: str) -> str:
    return (
        f'<path d="M{start[0]} {start[1]}L{end[0]} {end[1]}" '
        f'fill="none" stroke="{colour(token)}" stroke-width="{width}"/>'
    )


def text(words: str, x: str, y: int, style: str) -> str:
    return f'<text x="{x}" y="{y}" {style}>{escape(words)}</text>'


def tenth(tenths: int) -> str:
    """Return a number of tenths as a decimal, without a tenth that is nothing."""
    whole, rest = divmod(tenths, 10)
    return f"{whole}.{rest}" if rest else str(whole)
