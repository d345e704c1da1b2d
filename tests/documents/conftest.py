"""An office with a book of its own."""

from pathlib import Path

import pytest

from tests.documents._office import Office, office_in


@pytest.fixture
def office(tmp_path: Path) -> Office:
    """A rehearsal book with changes, prices, an instruction and daywork, at 2 April 2026."""
    return office_in(tmp_path)
