"""`fairhours demo` loads the yard's files in their order, and refuses a folder that is in use."""

import io
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from ledger.cli import demonstration
from ledger.cli.refusals.worded import worded
from ledger.errors import Refused
from tests.demo import _replay

AT = datetime(2026, 1, 5, 17, tzinfo=UTC)
COMMANDS = [
    demonstration.Command(AT, ("load", kind), f"{kind}.csv") for kind in ("settings", "rates")
]


def test_the_demo_runs_the_schedule_as_it_is_reckoned() -> None:
    """The commands of the demo are those of the book that the reckoning is compared with."""
    commands = demonstration.schedule(_replay.SAMPLE / "schedule.csv")
    actual = [list(demonstration.words_of(command, _replay.SAMPLE)) for command in commands]

    assert actual == list(_replay.commands())
    assert demonstration.BEGINNING == _replay.NEW


def test_a_folder_in_use_is_left_alone(tmp_path: Path) -> None:
    """A folder that has files already is refused before anything is written."""
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(Refused) as caught:
        list(demonstration.demonstrate(tmp_path))

    said = f"{tmp_path}: is not empty; name a new folder: `fairhours demo DIR`"
    assert worded(caught.value) == said
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_no_bar_is_drawn_in_a_pipe(capsys: pytest.CaptureFixture[str]) -> None:
    """Progress is for a terminal; a log is kept free of it."""
    shown = list(demonstration.progress(COMMANDS))

    assert shown == COMMANDS
    assert capsys.readouterr() == ("", "")


def test_a_bar_is_drawn_on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a terminal a bar shows how far it is and what runs now."""
    terminal = io.StringIO()
    monkeypatch.setattr(terminal, "isatty", lambda: True)
    monkeypatch.setattr(sys, "stderr", terminal)
    list(demonstration.progress(COMMANDS))

    assert "1/2  2026-01-05  load settings" in terminal.getvalue()
