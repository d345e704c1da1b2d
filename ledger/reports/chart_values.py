"""Values on a chart: what is told where the pointer or the keyboard is. Measures are in tenths."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from markupsafe import escape

from ledger.reports import charts, line_charts
from ledger.reports.charts import tenth
from ledger.reports.line_charts import Plot
from ledger.reports.tables import Chart

OPENING = re.compile(r"<svg [^>]*>")


@dataclass(frozen=True)
class Spot:
    """A part of a drawing, and what is told of it."""

    left: int
    top: int
    width: int
    height: int
    words: str


def with_values(svg: str, spots: Sequence[Spot], title: str) -> str:
    """Return the SVG with its spots over it, the first of them a stop of the keyboard.

    The drawing itself is hidden from those who hear it: they hear the spots.
    """
    opening = OPENING.match(svg)
    assert opening, "a chart begins with its svg"
    named = f'{opening[0][:-1]} role="group" aria-label="{escape(title)}">'
    drawn = svg[opening.end() :].removesuffix("</svg>")
    layer = "".join(_spot(spot, number == 0) for number, spot in enumerate(spots))
    return f'{named}<g aria-hidden="true">{drawn}</g>{layer}</svg>'


def told_chart(svg: str, spots: Sequence[Spot], title: str) -> Chart:
    """Return a chart that tells its own values, under its title."""
    return Chart(with_values(svg, spots, title), title, f"{title}.", has_values=True)


def _spot(spot: Spot, is_first: bool) -> str:
    place = f'x="{tenth(spot.left)}" y="{tenth(spot.top)}"'
    size = f'width="{tenth(spot.width)}" height="{tenth(spot.height)}"'
    return (
        f'<g class="spot" role="img" tabindex="{0 if is_first else -1}">'
        f'<title>{escape(spot.words)}</title><rect {place} {size} fill="none"/></g>'
    )


def of_rows(words: Sequence[str]) -> list[Spot]:
    """Return a spot for each row of a chart of bars."""
    width = charts.LABEL_WIDTH + charts.PLOT_WIDTH + charts.BESIDE
    return [
        Spot(0, 10 * (charts.ABOVE + charts.ROW_HEIGHT * n), 10 * width, 10 * charts.ROW_HEIGHT, e)
        for n, e in enumerate(words)
    ]


def of_days(plot: Plot, words: Sequence[tuple[date, str]]) -> list[Spot]:
    """Return a spot for each day of a chart of lines, as wide as to half way to the next."""
    places = [line_charts.across(plot, day) for day, _ in words]
    middles = [(one + other) // 2 for one, other in pairwise(places)]
    edges = [*places[:1], *middles, *places[-1:]]
    top, height = 10 * line_charts.ABOVE, 10 * line_charts.PLOT_HEIGHT
    return [
        Spot(left, top, max(right - left, 20), height, text)
        for (left, right), (_, text) in zip(pairwise(edges), words, strict=True)
    ]
