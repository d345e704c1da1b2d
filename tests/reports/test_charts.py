"""The steps of the hours are drawn to scale, in whole tenths."""

import re
from xml.etree import ElementTree

import pytest

from ledger.reports.charts import Scale, WaterfallBar, columns_of, scale_of, waterfall

BARS = [
    WaterfallBar("Estimate", 10_000, is_total=True),
    WaterfallBar("More <& more>", 6_000),
    WaterfallBar("Less", -2_000),
    WaterfallBar("Final", 14_000, is_total=True),
]
SPACE = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize(
    ("values", "scale"),
    [
        ([0], Scale(0, 50, 100)),  # Nothing differs: half an hour, so that there is a scale.
        ([264_997], Scale(0, 280_000, 50_000)),  # 2 649.97 h: figures at 500 h, ends at 2 800 h.
        ([60_000], Scale(0, 60_000, 10_000)),
        ([-4_000, 11_000], Scale(-4_000, 12_000, 5_000)),
        ([-700], Scale(-700, 0, 200)),
    ],
)
def test_the_scale_holds_all_values_in_round_steps(values: list[int], scale: Scale) -> None:
    """A scale has zero, every value, and at most six steps between the least and the most."""
    assert scale_of(values) == scale


def test_marks_are_multiples_of_the_step() -> None:
    """The figures under the axis are round ones, zero among them."""
    assert list(Scale(-4_000, 12_000, 5_000).marks()) == [0, 5_000, 10_000]


def test_bars_lie_end_to_end() -> None:
    """Each step begins where the one before ended; totals begin at the estimate."""
    laid = [(each.start, each.end, each.kind) for each in columns_of(BARS)]

    # 0 + 6 000 = 6 000; 6 000 - 2 000 = 4 000
    assert laid == [
        (0, 0, "total"),
        (0, 6_000, "more"),
        (6_000, 4_000, "less"),
        (0, 4_000, "total"),
    ]


def test_a_bar_is_as_long_as_its_hours() -> None:
    """60 hours on a scale of 440 units over 60 hours take all of them; names stay text."""
    drawn = ElementTree.fromstring(waterfall(BARS))
    texts = [each.text for each in drawn.iter(f"{SPACE}text")]
    paths = [each.get("d", "") for each in drawn.iter(f"{SPACE}path")]
    bars = [re.findall("M([0-9.]+) [0-9]+H([0-9.]+)V", path) for path in paths]

    # 40 of 60 hours: 440 x 4000 / 6000 = 293.3, after 205 units of names 498.3.
    assert [found[0] for found in bars if found] == [
        ("205", "205"),
        ("205", "645"),
        ("498.3", "645"),
        ("205", "498.3"),
    ]
    assert [text for text in texts if text in {bar.label for bar in BARS}] == [
        bar.label for bar in BARS
    ]


def test_figures_at_the_ends_stay_within_the_drawing() -> None:
    """The figure at either end of the axis is set inwards of it, those between stand astride."""
    drawn = ElementTree.fromstring(waterfall(BARS))
    anchors = [
        each.get("text-anchor")
        for each in drawn.iter(f"{SPACE}text")
        if (each.text or "").isdecimal()
    ]

    # 0, 10, 20, 30, 40, 50, 60 hours.
    assert anchors == ["start", *["middle"] * 5, "end"]
