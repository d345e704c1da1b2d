"""A yard for each published job, shared by the tests of a module that only read it."""

from collections.abc import Callable

import pytest

from tests.conftest import Yard


@pytest.fixture(scope="session")
def new_yard(tmp_path_factory: pytest.TempPathFactory) -> Callable[[], Yard]:
    """What makes an empty yard in a folder of its own."""
    return lambda: Yard(tmp_path_factory.mktemp("yard"))
