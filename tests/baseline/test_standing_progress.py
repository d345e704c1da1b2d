"""What a package stands at once its budget or its measure has changed: on the form and loaded.

The deck has 80 h by percent, 8 h a day from 9 to 20 March; half of it is done on the 11th.
"""

import openpyxl
import pytest

from tests._stage import JOB, load, prepare
from tests.baseline._replans import COLUMNS, authorised, deck, row, under
from tests.conftest import Yard
from tests.inputs._moves import figures, freeze, measure, rebase

PERCENT = {"technique": "percent_complete", "quantity": "", "unit": ""}


@pytest.fixture
def halved(yard: Yard) -> Yard:
    """A book whose deck went from 80 to 64 h on 13 March, half of the 80 being done."""
    prepare(yard)
    rail = {"budget_hours": "20", "planned_start": "2026-03-18", "planned_finish": "2026-03-27"}
    rows = [",".join(COLUMNS), deck(**PERCENT), row(work_package="RAIL", **rail)]
    load(yard, "estimate", "\n".join(rows) + "\n")
    freeze(yard)
    measure(yard, "DECK", "2026-03-11", percent="50")
    rebase(yard, "N1,2026-03-13,DECK,carpenter,-16", "N1,2026-03-13,RAIL,carpenter,16")
    return yard


def progress(yard: Yard, day: str, **facts: str) -> str:
    """Load one measurement of the deck and return what was said."""
    head, cells = ",".join(facts), ",".join(facts.values())
    return load(yard, "progress", f"work_package,date,{head}\nDECK,{day},{cells}\n")


def last(yard: Yard, day: str) -> str:
    """Return what the form of a day has of the deck as last."""
    out = yard.folder / "form.xlsx"
    yard.run("report", "progress-form", "--job", JOB, "--status-date", day, "--out", out)
    head, *rows = list(openpyxl.load_workbook(out)["Progress"].values)[3:]
    by_head = next(dict(zip(head, each, strict=True)) for each in rows if "DECK" in each)
    return str(by_head["last"])


def test_the_form_has_what_stands_of_the_new_budget(halved: Yard) -> None:
    """40 h of 64 are earned: 62.5 %, not the 50 % of the old budget."""
    before = last(halved, "2026-03-12")
    changed = last(halved, "2026-03-13")
    progress(halved, "2026-03-16", percent="75")

    assert before == "50 %"
    assert changed == "62.5 %, budget changed by N1"
    assert last(halved, "2026-03-16") == "75 %"


def test_a_percent_below_what_is_earned_is_remarked(halved: Yard) -> None:
    """50 % of 64 h are 32 h, less than the 40 h that stay earned; 62.5 % are no less."""
    below = progress(halved, "2026-03-16", percent="50")
    kept = figures(halved, "2026-03-16", "DECK")
    above = progress(halved, "2026-03-17", percent="62.5")

    assert (
        'progress.csv:2: percent "50" is below what is earned of DECK since N1 changed its budget, '
        "62.5 %; it earns nothing\n"
    ) in below
    assert kept[2] == 40
    assert "below" not in above


def test_a_measure_of_the_day_is_asked_for_after_another_technique(halved: Yard) -> None:
    """30 of 40 boards on the 17th and the 19th are no work since; without the first they are."""
    under(halved, "N2", deck(budget_hours="64", planned_finish="2026-03-27"))
    authorised(halved, "N2,2026-03-17,DECK,carpenter,0")
    form = last(halved, "2026-03-18")
    asked = progress(halved, "2026-03-19", quantity_done="30")
    since = figures(halved, "2026-03-19", "DECK")
    progress(halved, "2026-03-17", quantity_done="30")

    assert form == "62.5 %; measured anew since 2026-03-17 by N2: give that day too"
    assert (
        "progress.csv:2: DECK is measured by units_complete since 2026-03-17 (N2) and was not "
        "measured so by that day; all of it counts as work since, load a measure of that day too"
    ) in asked
    # 40 + 24 x 30/40; with 30 boards on the day itself nothing was done since.
    assert since[2] == 58
    assert figures(halved, "2026-03-19", "DECK")[2] == 40
    assert last(halved, "2026-03-20") == "30 of 40"
