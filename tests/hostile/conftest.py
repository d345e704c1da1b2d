"""A private copy of one prepared book for each test."""

from pathlib import Path

import pytest

from tests.conftest import Yard
from tests.intake._stage import copied, prepare


@pytest.fixture(scope="session")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of the sample's job before its first sheet."""
    return prepare(Yard(tmp_path_factory.mktemp("prepared"))).book


@pytest.fixture
def stage(prepared: Path, tmp_path: Path) -> Yard:
    """A yard with the sample's job, its crew, rates and estimate; no sheets yet."""
    return copied(prepared, tmp_path)
