"""The small sample as a book, built once a module, and copies of it."""

from pathlib import Path

import pytest

from tests.conftest import Yard
from tests.store._sample import copy_of
from tests.test_small_sample import build


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """A yard with the small sample, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


@pytest.fixture
def copied(built: Yard, tmp_path: Path) -> Yard:
    """A copy of the small sample's book, to be tampered with."""
    return copy_of(built, tmp_path)
