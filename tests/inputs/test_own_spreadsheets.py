"""Spreadsheets as yards keep them load by a guessed layout with at most two keys put right."""

import re
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from tests._stage import JOB, table
from tests.conftest import Yard, slow_beyond
from tests.inputs._spreadsheets import SPREADSHEETS, Kept

OF_YARD = {"crew", "rates", "payroll", "supplier-hours", "leave"}


def put_right(toml: str, right: Mapping[str, str]) -> str:
    """Return a layout with keys set; section.key stands in its section."""
    for name, value in right.items():
        section, _, key = name.rpartition(".")
        line = f"{key} = {value}\n"
        toml = re.sub(rf"(?m)^{key} = .*\n", "", toml)
        if not section:
            toml = line + toml
        elif f"[{section}]\n" in toml:
            toml = toml.replace(f"[{section}]\n", f"[{section}]\n{line}")
        else:
            toml += f"\n[{section}]\n{line}"
    return toml


def facts_of(stage: Yard, kept: Kept, before: list[dict[str, str]]) -> list[tuple[str, ...]]:
    rows = [row for row in table(stage, kept.fact) if row not in before]
    return sorted(tuple(row[name] for name in kept.columns) for row in rows)


@pytest.mark.parametrize("make", slow_beyond(1, SPREADSHEETS), ids=lambda each: each.__name__)
def test_a_yards_own_spreadsheet_loads_by_a_guessed_layout(
    stage: Yard, make: Callable[[Path], Kept]
) -> None:
    """What is guessed says the table; with two keys put right at most every fact is as typed."""
    kept = make(stage.folder)
    guessed = stage.run("guess", "layout", kept.path)
    layout = stage.write("ours.toml", put_right(guessed.stdout, kept.right))
    before = table(stage, kept.fact)
    job = () if kept.table in OF_YARD else ("--job", JOB)
    said = stage.run("load", kept.table, *job, "--layout", layout, kept.path).stderr

    assert len(kept.right) <= 2
    assert f"taken for {kept.table}; " in guessed.stderr
    assert facts_of(stage, kept, before) == sorted(kept.facts)
    assert kept.left_out in said
