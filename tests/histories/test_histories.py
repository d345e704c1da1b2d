"""Random histories of a yard, reckoned beside the program by rules written a second time."""

import os
from pathlib import Path

import pytest

from tests._stage import copied
from tests.conftest import Yard
from tests.histories._history import History, prepare

STEPS = int(os.environ.get("HISTORY_STEPS", "5"))
HISTORIES = int(os.environ.get("HISTORIES", "60"))
FEW = 2


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book that every history goes on from."""
    return prepare(Yard(tmp_path_factory.mktemp("begun"))).book


@pytest.mark.parametrize(
    "seed",
    [pytest.param(seed, marks=() if seed < FEW else pytest.mark.slow) for seed in range(HISTORIES)],
)
def test_any_history_is_as_reckoned(seed: int, begun: Path, tmp_path: Path) -> None:
    """Hours by place, held lines, AC and EV are those of an independent reckoning."""
    History(copied(begun, tmp_path), seed).run(STEPS)
