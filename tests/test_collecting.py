"""Python looks for garbage as before, once it was let to do so seldom."""

import gc

import pytest

from ledger.collecting import rare_collection


def test_garbage_is_looked_for_seldom_only_meanwhile() -> None:
    """The threshold is raised, and stands as it did afterwards, after an error too."""
    before, meanwhile = gc.get_threshold(), []

    def fail() -> None:
        meanwhile.append(gc.get_threshold())
        raise ValueError

    with pytest.raises(ValueError, match=r"^$"), rare_collection():
        fail()

    assert meanwhile > [before]
    assert gc.get_threshold() == before
