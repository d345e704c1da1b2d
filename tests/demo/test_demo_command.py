"""`fairhours demo` loads the yard's files in their order, and refuses a folder that is in use."""

from pathlib import Path

import pytest

from ledger.cli import demonstration
from ledger.cli.wordings.refusals import worded
from ledger.errors import Refused
from tests.demo import _replay


def test_the_demo_runs_the_schedule_as_it_is_reckoned() -> None:
    """The commands of the demo are those of the book that the reckoning is compared with."""
    commands = list(demonstration.schedule(_replay.SAMPLE / "schedule.csv"))
    actual = [
        list(demonstration.words_of(commands, place, _replay.SAMPLE))
        for place in range(len(commands))
    ]

    assert actual == list(_replay.commands())
    assert demonstration.BEGINNING == _replay.NEW


def test_a_folder_in_use_is_left_alone(tmp_path: Path) -> None:
    """A folder that has files already is refused before anything is written."""
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(Refused) as caught:
        list(demonstration.demonstrate(tmp_path, lambda *_: None))

    assert (
        worded(caught.value) == f"{tmp_path}: is not empty; name a new folder: fairhours demo DIR"
    )
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_no_bar_is_drawn_in_a_pipe(capsys: pytest.CaptureFixture[str]) -> None:
    """Progress is for a terminal; a log is kept free of it."""
    demonstration.bar(1, 2, "2026-01-05  load settings")

    assert capsys.readouterr().err == ""
