"""No error of the driver leaves the store untranslated."""

import duckdb
import pytest

from ledger.cli.refusals.worded import worded
from ledger.errors import FairhoursError
from ledger.store.errors import translate

DRIVER_ERRORS = sorted(
    {
        thing
        for name in dir(duckdb)
        if isinstance(thing := getattr(duckdb, name), type) and issubclass(thing, duckdb.Error)
    },
    key=lambda kind: kind.__name__,
)


def test_the_driver_has_errors_to_translate() -> None:
    """The walk over the driver's names finds its errors, the one of a locked file among them."""
    assert {duckdb.Error, duckdb.IOException, duckdb.ParserException} <= set(DRIVER_ERRORS)


@pytest.mark.parametrize("kind", DRIVER_ERRORS, ids=lambda kind: kind.__name__)
def test_every_driver_error_is_translated(kind: type[duckdb.Error]) -> None:
    """Each error class of the driver becomes one of ours that tells what the driver said."""
    actual = translate(kind("what the driver said"))

    assert isinstance(actual, FairhoursError)
    assert not isinstance(actual, duckdb.Error)
    assert "what the driver said" in str(actual)
    assert "what the driver said" in worded(actual)
