"""How often Python looks for garbage."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def rare_collection() -> Iterator[None]:
    """Let Python look for garbage seldom while much is made that stays: up to a fifth of its time.

    What nothing refers to any more goes at once all the same.
    """
    before = gc.get_threshold()
    gc.set_threshold(500_000, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
