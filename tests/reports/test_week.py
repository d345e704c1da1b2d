"""The week: each figure is that of the command which its line names."""

import re
import shlex
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from ledger.reports.yard.week_build import build_week
from ledger.store.book import open_book
from tests.conftest import Yard
from tests.reports._yard_pages import laid_out
from tests.test_small_sample import build

TO = "2026-03-22"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The small sample in a book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


def found(shown: Any, path: str) -> Any:
    """Return what JSON has at a place, as `Figure` says it."""
    for step in path.split("/"):
        if step == "#":
            shown = len(shown)
        elif above := re.fullmatch(r"(\w+)>(\d+)", step):
            shown = sum(each[above[1]] > int(above[2]) for each in shown)
        elif counted := re.fullmatch(r"#(\w+)(?:=(\w+))?", step):
            name, value = counted[1], counted[2]
            shown = sum(
                bool(each[name]) if value is None else str(each[name]) == value for each in shown
            )
        elif chosen := re.fullmatch(r"(\w+)=(\w+)", step):
            (shown,) = [each for each in shown if each[chosen[1]] == chosen[2]]
        else:
            shown = shown[int(step)] if step.isdigit() else shown[step]
    return shown


def rounded(value: Any, like: Any) -> Any:
    """Return a figure of a command to the places of the page's."""
    if not isinstance(value, Decimal) or not isinstance(like, Decimal):
        return value
    return round(value, -int(like.as_tuple().exponent))


def lines(week: Any) -> list[Any]:
    return [*(line for each in week["jobs"] for line in each["lines"]), *week["yard"]]


@pytest.mark.slow
@pytest.mark.parametrize("day", [TO, "2026-03-12"])
def test_every_figure_is_that_of_the_command_it_names(built: Yard, day: str) -> None:
    """The command of each line is run, and its JSON looked through for each of its figures."""
    week = built.json("week", "--to", day)
    commands: dict[str, Any] = {}
    astray = {}
    for line in lines(week):
        words = line["opened_by"]
        shown = commands.setdefault(words, built.json(*shlex.split(words)[1:]))
        for figure in line["figures"]:
            if figure["at"]:
                given = figure["value"]
                opened = rounded(found(shown, figure["at"]), given)
                if opened != given:
                    astray[line["what"], figure["name"]] = (given, opened)

    assert len(commands) > 5
    assert astray == {}


@pytest.mark.slow
def test_what_was_so_a_week_before_is_that_weeks_figure(built: Yard) -> None:
    """Beside a figure stands what the same line says of the week before."""
    now, then = (built.json("week", "--job", "STAGE", "--to", day) for day in (TO, "2026-03-15"))
    before = {
        (line["what"], each["name"]): each["value"]
        for line in lines(then)
        for each in line["figures"]
    }
    told = {
        (line["what"], each["name"]): each["before"]
        for line in lines(now)
        for each in line["figures"]
        if each["before"] is not None and (line["what"], each["name"]) in before
    }

    assert ("indices", "cpi") in told
    assert told == {key: before[key] for key in told}


@pytest.mark.slow
def test_a_job_fits_the_screen_and_the_page(built: Yard) -> None:
    """One job is 24 lines of 80 signs, and a page of A4."""
    shown = built.run("week", "--job", "STAGE", "--to", TO).stdout.splitlines()
    with open_book(built.book) as book:
        view = build_week(book, date.fromisoformat(TO), "STAGE")

    assert len(shown) <= 24
    assert max(map(len, shown)) <= 80
    assert {part.page for part in laid_out(view)} == {1}


@pytest.mark.slow
def test_a_yard_without_hours_has_no_week(yard: Yard) -> None:
    """There is nothing to tell a day from; with a day the week is empty."""
    refused = yard.run("week", ok=False).stderr
    shown = yard.run("week", "--to", TO).stdout

    assert refused == (
        "no job has a week with both an entry and a measurement; name the week by --to with a "
        "day of it\n"
    )
    assert shown.startswith("no job has hours; week from 2026-03-16 to 2026-03-22\n")
