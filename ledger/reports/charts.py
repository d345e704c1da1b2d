"""Charts from one specification for paper and for the browser: Vega-Lite, drawn as SVG.

A chart holds only words of our own and whole numbers; its figures stand in a table beside it.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import as_file, files
from itertools import accumulate
from typing import Any

from ledger.reports.figures import GROUP

VEGA_LITE = "6.1"
FONT = "Source Sans Pro"
INK, MUTED, SLATE, OCHRE, LINE, PAPER = (
    "#1c2530",
    "#56626e",
    "#2b536f",
    "#b8863b",
    "#cfd6db",
    "#ffffff",
)
ROW_HEIGHT, BAR_HEIGHT = 21, 12
LABEL_WIDTH, PLOT_WIDTH = 205, 440
AXIS_TITLE = "hours above (+) or below (\N{MINUS SIGN}) the original estimate"

LABELS = {
    "title": None,
    "labelAlign": "left",
    "labelPadding": LABEL_WIDTH,
    "labelFontSize": 12,
    "labelColor": INK,
    "labelLimit": LABEL_WIDTH,
}
HOURS_AXIS = {
    "title": AXIS_TITLE,
    "titleFontSize": 11,
    "titleFontWeight": "normal",
    "titleColor": MUTED,
    "labelExpr": f"replace(format(datum.value / 100, ',.0f'), /,/g, '{GROUP}')",
    "labelFontSize": 11,
    "labelColor": MUTED,
    "gridColor": LINE,
    "gridWidth": 0.5,
    "tickCount": 6,
}


@dataclass(frozen=True)
class Bar:
    """A step of a waterfall in hundredths of an hour; a total begins the sum anew from nothing."""

    label: str
    amount: int
    is_total: bool = False


def waterfall(bars: Sequence[Bar]) -> str:
    """Return the SVG of the steps as differences from the first total, which is the zero line."""
    rows = rows_of(bars)
    return svg(
        {
            "width": PLOT_WIDTH,
            "height": ROW_HEIGHT * len(rows),
            "data": {"values": rows},
            "layer": [connectors(len(rows)), columns()],
        }
    )


def rows_of(bars: Sequence[Bar]) -> list[dict[str, Any]]:
    """Return where each bar begins and ends, against the first total."""
    steps = [0 if bar.is_total else bar.amount for bar in bars]
    ends = list(accumulate(steps))
    following = [*bars[1:], bars[-1]]
    return [
        {
            "step": bar.label,
            "place": place,
            "from": 0 if bar.is_total else end - bar.amount,
            "to": end,
            "kind": "total" if bar.is_total else "less" if bar.amount < 0 else "more",
            "next": after.label,
        }
        for place, (bar, end, after) in enumerate(zip(bars, ends, following, strict=True))
    ]


def columns() -> dict[str, Any]:
    return {
        "mark": {"type": "bar", "height": BAR_HEIGHT, "strokeWidth": 1},
        "encoding": {
            "y": {"field": "step", "type": "nominal", "sort": None, "axis": LABELS},
            "x": {"field": "from", "type": "quantitative", "axis": HOURS_AXIS},
            "x2": {"field": "to"},
            "fill": by_kind(SLATE, OCHRE, PAPER),
            "stroke": by_kind(SLATE, OCHRE, INK),
        },
    }


def connectors(count: int) -> dict[str, Any]:
    """Return the thin lines that lead from the end of a bar to the next."""
    return {
        "transform": [{"filter": f"datum.place < {count - 1}"}],
        "mark": {"type": "rule", "color": MUTED, "strokeWidth": 0.7},
        "encoding": {
            "y": {"field": "step", "type": "nominal", "sort": None},
            "y2": {"field": "next"},
            "x": {"field": "to", "type": "quantitative"},
        },
    }


def by_kind(*colours: str) -> dict[str, Any]:
    scale = {"domain": ["total", "more", "less"], "range": list(colours)}
    return {"field": "kind", "type": "nominal", "scale": scale, "legend": None}


def svg(specification: dict[str, Any]) -> str:
    """Return the drawing of a Vega-Lite specification; the same gives the same bytes."""
    import vl_convert

    register_font()
    config = {
        "font": FONT,
        "view": {"stroke": None},
        "axis": {"domain": False, "ticks": False},
    }
    whole = {
        "background": None,
        "padding": {"left": 0, "right": 4, "top": 2, "bottom": 2},
        "config": config,
        **specification,
    }
    drawn: str = vl_convert.vegalite_to_svg(json.dumps(whole), vl_version=VEGA_LITE)
    return drawn


@cache
def register_font() -> None:
    """Let the drawing measure its words in the packaged font."""
    import vl_convert

    with as_file(files("font_source_sans_pro").joinpath("files")) as folder:
        vl_convert.register_font_directory(str(folder))
