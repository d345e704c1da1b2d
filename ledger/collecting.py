"""How often Python looks for garbage."""

import atexit
import gc
from collections.abc import Iterator
from contextlib import contextmanager

RARELY = 500_000  # Objects made and not let go before Python looks.


def collect_for_one_command() -> None:
    """Let a process that runs one command and ends look for garbage seldom until then.

    Nearly all that it makes, imported modules first, stays to its end. Nor is it looked through
    once more as it ends, which takes a PDF a twentieth of its time: whatever has a file or a folder
    of its own lets it go before, as `pages.fonts_of_its_own` does.
    """
    gc.set_threshold(RARELY, *gc.get_threshold()[1:])
    atexit.register(gc.freeze)


@contextmanager
def rare_collection() -> Iterator[None]:
    """Let Python look for garbage seldom while much is made that stays: up to a fifth of its time.

    What nothing refers to any more goes at once all the same.
    """
    before = gc.get_threshold()
    gc.set_threshold(RARELY, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
