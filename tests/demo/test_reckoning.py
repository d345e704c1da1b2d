"""The reckoning of the demo yard, tried on the small sample: an earlier one says the same."""

import shlex
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import pytest

from tests._small_files import SAMPLE
from tests._small_reckoning import BASELINES, OTHER_DATES, STATUS_DATE, UNITS, Reckoning, rounded
from tests.demo._reckon_files import Load
from tests.demo._reckon_print import printed
from tests.demo._reckon_schedule import load_of_words
from tests.demo._reckon_yard import ReckonedYard

DAYS = [STATUS_DATE, *OTHER_DATES]


def small_loads() -> list[Load]:
    """Return the loads by which the small sample's README builds its job."""
    readme = (SAMPLE / "README.md").read_text(encoding="utf-8")
    block = readme.split("## Building it\n")[1].split("```sh\n")[1].split("```")[0]
    every = [shlex.split(line)[1:] for line in block.splitlines()]
    return [small_load(number, words) for number, words in enumerate(every) if words != ["new"]]


def small_load(number: int, words: list[str]) -> Load:
    files = [SAMPLE / word for word in words if word.endswith((".csv", ".toml"))]
    return load_of_words(number, words[: len(words) - len(files)], files)


def fourth(name: str, value: Decimal | None) -> Decimal | None:
    """Return percent at four places, as printed; the earlier reckoning has it at six."""
    if name != "percent_complete" or value is None:
        return value
    return value.quantize(Decimal("0.0001"), ROUND_HALF_UP)


@pytest.fixture(scope="module")
def yard() -> ReckonedYard:
    """The small sample's yard, reckoned by the demo's rules."""
    return ReckonedYard(small_loads())


@pytest.mark.parametrize("day", DAYS, ids=str)
@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("on", BASELINES)
def test_two_reckonings_agree_on_rows(yard: ReckonedYard, on: str, unit: str, day: date) -> None:
    """Both reckonings of the small sample give the same figures for each work package."""
    expected = Reckoning(day, on, unit).by("work-package")
    rows = yard.job("STAGE", day, on, unit).rows("work-package")
    actual = {
        key: {name: fourth(name, printed(name, row[name], unit)) for name in expected[key]}
        for key, row in rows.items()
        if key in expected
    }

    assert actual == {
        key: {name: fourth(name, rounded(name, value)) for name, value in row.items()}
        for key, row in expected.items()
    }


@pytest.mark.parametrize("day", DAYS, ids=str)
@pytest.mark.parametrize("unit", UNITS)
def test_two_reckonings_agree_on_steps(yard: ReckonedYard, unit: str, day: date) -> None:
    """Both reckonings of the small sample give the same ten steps."""
    expected = Reckoning(day, measured_in=unit).steps()
    steps = yard.overrun("STAGE", day, unit).steps
    actual = {name: printed(name, amount, unit) for name, amount in steps.items()}

    assert actual == {name: rounded(name, amount) for name, amount in expected.items()}
