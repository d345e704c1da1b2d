"""The tables of the manual name all that the code has, and nothing else."""

import re
import tomllib
from collections.abc import Iterable
from dataclasses import fields
from typing import Any

import pytest

from ledger.domain import change_life, doubts, forecast, overrun, pay, plausibility
from ledger.domain.defaults import SETTINGS
from ledger.domain.questions import REASONS
from ledger.domain.schedule import TimeFigures
from ledger.errors import FairhoursError, WrongUsage
from ledger.inputs import columns, job_card, settings_file
from ledger.performance.report import ORDER
from ledger.reports.rendering import VARIANTS
from ledger.sheets.held import FIELD_OF
from ledger.store.schema import WITHDRAWABLE
from ledger.tables import layout_files, layout_keys
from ledger.tables.layouts import FIELDS
from ledger.tables.small_tables import FileColumn
from tests.manual._pages import ROOT, SPAN, manual, page

FILES = {
    "CREW": columns.CREW,
    "RATES": columns.RATES,
    "CHARGE_RATES": columns.CHARGE_RATES,
    "ESTIMATE": columns.ESTIMATE,
    "MILESTONES": columns.MILESTONES,
    "PLAN": columns.PLAN,
    "PROGRESS": columns.PROGRESS,
    "BASELINE_CHANGES": columns.BASELINE_CHANGES,
    "CHANGES": columns.CHANGES,
    "CHANGE_LINES": columns.CHANGE_LINES,
    "CHANGE_EVENTS": columns.CHANGE_EVENTS,
    "RULES": columns.RULES,
    "ATTENDANCE": columns.ATTENDANCE,
    "LEAVE": columns.LEAVE,
    "PAYROLL": columns.PAYROLL,
    "SUPPLIER_HOURS": columns.SUPPLIER_HOURS,
    "PAYROLL_NOTES": columns.PAYROLL_NOTES,
}
METHODS = (
    forecast.FINISHED,
    forecast.OWN_ESTIMATE,
    forecast.LEVEL_OF_EFFORT,
    forecast.INDEX,
    forecast.BUDGET_RATE,
    forecast.AS_BOOKED,
)


def required(mark: str, of: str = "input-files") -> set[str]:
    """Return the names in bold of a table."""
    return {
        name
        for row in page(of).table(mark)
        for name in SPAN.findall(row[0])
        if row[0].startswith("**")
    }


@pytest.mark.parametrize(("name", "file"), FILES.items(), ids=FILES)
def test_every_column_has_its_row(name: str, file: tuple[FileColumn, ...]) -> None:
    """A file's table has its columns and no other; what it must have is in bold."""
    used = [column for column in file if not column.unused]

    assert sorted(page("input-files").names(f"columns: {name}")) == sorted(c.name for c in used)
    assert required(f"columns: {name}") == {column.name for column in used if column.needed}
    assert coming_after(f"columns: {name}") == {column.name for column in file if column.unused}


def coming_after(mark: str) -> set[str]:
    """Return the columns of a file that are known and not used yet, as the page names them."""
    section = page("input-files").text.split(f"<!-- {mark} -->\n")[1].split("\n## ")[0]
    named = section.partition("Known but not used yet:")[2].partition(", and the")[0]
    return set(SPAN.findall(named))


def test_every_column_of_a_sheet_has_its_row() -> None:
    """The table of timesheets has the fields that a layout can map."""
    assert sorted(page("input-files").names("columns: sheets")) == sorted(FIELDS)


@pytest.mark.parametrize("section", settings_file.OF_SECTIONS)
def test_every_setting_has_its_row_and_default(section: str) -> None:
    """A setting stands in the table of its section with the default that the code has."""
    kinds = {f"doubts.{kind}": severity for kind, (severity, _) in doubts.KINDS.items()}
    expected = {
        name.partition(".")[2]: default
        for name, default in SETTINGS.items()
        if name.startswith(f"{section}.") and name not in kinds
    }
    rows = page("settings").table(f"settings: {section}")

    assert {SPAN.findall(row[0])[0]: row[1] for row in rows} == expected


def test_every_kind_of_doubt_has_its_row() -> None:
    """A kind of doubt stands in its table with its severity."""
    rows = page("doubts").table("kinds of doubts")

    assert {SPAN.findall(row[0])[0]: row[1] for row in rows} == {
        kind: severity for kind, (severity, _) in doubts.KINDS.items()
    }


def test_plausibility_notes_are_listed_with_rule_and_source() -> None:
    """Every kind of note stands in the manual as the program says it."""
    rows = page("doubts").table("plausibility notes")
    actual = {SPAN.findall(row[0])[0]: (row[1], row[2]) for row in rows}

    assert actual == plausibility.NOTES


def test_every_key_of_a_job_has_its_row() -> None:
    """The keys of a job stand in their table, those it must have in bold."""
    every = {*job_card.NEEDED, *job_card.OPTIONAL}

    assert set(page("settings").names("job keys")) == every
    assert required("job keys", "settings") == set(job_card.NEEDED)


@pytest.mark.parametrize(
    ("topic", "mark", "expected"),
    [
        pytest.param("layouts", "layout keys", layout_keys.OF_ALL, id="keys of a layout"),
        pytest.param(
            "layouts",
            "layout keys of sheets",
            layout_keys.OF_SHEETS.keys() - layout_keys.OF_ALL.keys(),
            id="keys of sheets",
        ),
        pytest.param(
            "layouts",
            "layout keys of tables",
            layout_keys.OF_OTHERS.keys() - layout_keys.OF_ALL.keys(),
            id="keys of tables",
        ),
        pytest.param("layouts", "layouts", layout_files.shipped_layouts(), id="layouts"),
        pytest.param("timesheets", "reasons", {*REASONS, *FIELD_OF}, id="reasons to hold"),
        pytest.param("changes", "price moves", change_life.PRICE_MOVES, id="states of a price"),
        pytest.param("earned-value", "techniques", columns.TECHNIQUES, id="techniques"),
        pytest.param("earned-value", "figures", ORDER, id="figures"),
        pytest.param("earned-value", "forecast methods", METHODS, id="methods"),
        pytest.param("overrun", "steps", overrun.STEPS, id="steps"),
        pytest.param("payroll", "pay reasons", pay.REASONS, id="reasons of pay"),
        pytest.param("overrun", "asked by", overrun.ASKED_BY, id="asked by"),
        pytest.param("overrun", "borne by", overrun.BORNE_BY, id="borne by"),
        pytest.param("statement", "pdf variants", VARIANTS, id="standards of a PDF"),
    ],
)
def test_every_word_has_its_row(topic: str, mark: str, expected: Iterable[str]) -> None:
    """A table of words has all of the code's and no other."""
    assert sorted(page(topic).names(mark)) == sorted(expected)


def test_every_event_of_a_change_is_named() -> None:
    """The page on changes names each event, in its tables or beside them."""
    assert set(change_life.EVENTS) <= set(page("changes").spans())


def test_every_figure_of_time_has_its_row() -> None:
    """The table of time has the figures that are given for a job."""
    inner = {"slip_days", "undefined"}
    expected = {field.name for field in fields(TimeFigures)} - inner

    assert set(page("earned-value").names("time")) == expected


def test_every_environment_variable_has_its_row() -> None:
    """The table of variables has those that the program reads."""
    sources = (path.read_text(encoding="utf-8") for path in (ROOT / "ledger").rglob("*.py"))
    read = {name for text in sources for name in re.findall(r"FAIRHOURS_[A-Z]+", text)}

    assert set(page("exit-codes").names("environment")) == read


def test_every_table_that_can_be_withdrawn_from_is_named() -> None:
    """The page on corrections names the tables whose rows can be withdrawn."""
    after = page("held-lines").text.split("<!-- withdrawable -->\n")[1].split("\n\n")[0]

    assert sorted(SPAN.findall(after)) == sorted(WITHDRAWABLE)


def test_the_exit_codes_are_those_of_the_errors() -> None:
    """Beside 0 the codes are those that the errors carry."""
    rows = page("exit-codes").table("exit codes")

    assert [row[0] for row in rows] == [
        "0",
        str(FairhoursError.exit_code),
        str(WrongUsage.exit_code),
    ]


def toml_blocks() -> list[Any]:
    return [
        pytest.param(block, id=f"{each.path.stem} {block[:20]!r}")
        for each in manual()
        for block in each.blocks("toml")
    ]


@pytest.mark.parametrize("block", toml_blocks())
def test_an_example_in_toml_is_toml(block: str) -> None:
    """An example of settings, a job or a layout can be read as it stands."""
    assert tomllib.loads(block)
