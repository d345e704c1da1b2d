"""Each figure that stands in two places is equal: all commands and reports of one book, walked."""

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Yard
from tests.test_small_sample import build
from tests.walk._asking import NOTHING, page_steps, questions, reports, tables
from tests.walk._figures import SHOWN, Figure, by_key, disagreements, figures, shared

JOB = "STAGE"
DAYS = ("2026-03-20", "2026-03-22")  # The last day of its open period, and its week's end.


def parsed(text: str) -> Any:
    return json.loads(text, parse_float=Decimal, parse_int=Decimal)


def asked_of(yard: Yard, day: str) -> list[Figure]:
    """Return the figures of every command, as JSON and as text, and of every report."""
    needed = {"--job": JOB, "--status-date": day, "--week": day, "--to": day}
    found: list[Figure] = []
    for words, options in questions(yard.run, needed):
        source = " ".join(words)
        found += figures(yard.json(*words), source, options)
        for table in tables(yard.run(*words).stdout):
            shown = figures(table, f"{source} as text", options, SHOWN)
            found += [each for each in shown if each.value is not NOTHING]
    options = {"job": JOB, "status_date": day}
    for words in reports(needed):
        source, out = " ".join(words), yard.folder / f"{words[1]}-{day}"
        yard.run(*words, "--out", f"{out}.json")
        found += figures(parsed(Path(f"{out}.json").read_text("utf-8")), source, options)
        if words[1] == "variations":
            yard.run(*words, "--out", f"{out}.html")
            page = page_steps(Path(f"{out}.html").read_text("utf-8"))
            found += figures(page, f"{source} as a page", options, SHOWN)
    return found


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> list[Figure]:
    """Every figure that the small sample's book gives on two days."""
    yard = build(Yard(tmp_path_factory.mktemp("walked")))
    return [figure for day in DAYS for figure in asked_of(yard, day)]


@pytest.mark.slow
def test_a_figure_that_stands_in_two_places_is_equal(found: list[Figure]) -> None:
    """Figures of one name, job, day, baseline and unit have one value, wherever they stand."""
    assert disagreements(found) == []


@pytest.mark.slow
def test_the_walk_finds_figures_in_every_kind_of_place(found: list[Figure]) -> None:
    """Commands, their text, reports and pages all hold figures that stand elsewhere too."""
    places = [source for sources in shared(found).values() for source in sources]
    wanted = {"performance", "overrun", "periods", "missing", "report variations", "report codes"}
    wanted |= {"series", "account", "claimable", "labour-variances"}
    kinds = {word for word in wanted if any(source.startswith(word) for source in places)}

    assert kinds == wanted
    assert any(source.endswith("as a page") for source in places)
    assert any(source.startswith("overrun") and source.endswith("as text") for source in places)


@pytest.mark.slow
def test_a_figure_disturbed_anywhere_is_seen(found: list[Figure]) -> None:
    """Whichever figure of those that stand in two places is changed in one, the walk tells it."""
    groups, unseen = by_key(found), []
    for key in shared(found):
        for place, figure in enumerate(groups[key]):
            if isinstance(figure.value, Decimal):
                wrong = replace(figure, value=figure.value + 1)
                others = groups[key][:place] + groups[key][place + 1 :]
                unseen += [] if disagreements([*others, wrong]) else [figure]

    assert unseen == []
