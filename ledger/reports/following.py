"""How far the making of a PDF is, as the library tells its log."""

import contextlib
import logging
import re
from collections.abc import Iterator

from ledger.progress import SILENT, Progress

LOG = "weasyprint.progress"
# The library's steps by our names; it reads the page and its styles in turns.
STEPS = {
    **dict.fromkeys("123", "styles"),
    "4": "boxes",
    "5": "pages",
    "6": "drawing",
    "7": "file",
}
COUNT = len(set(STEPS.values()))
_STEP_LINE = re.compile(r"Step ([1-7]) - .*?(?:Page (\d+))?$")


class Follower(logging.Handler):
    """Passes on what the library tells its log."""

    def __init__(self, progress: Progress) -> None:
        super().__init__(logging.INFO)
        self._progress = progress

    def emit(self, record: logging.LogRecord) -> None:
        if match := _STEP_LINE.match(record.getMessage()):
            self._progress.step(STEPS[match[1]], COUNT)
            if match[2]:
                self._progress.within(int(match[2]))


@contextlib.contextmanager
def followed(progress: Progress) -> Iterator[None]:
    """Let the progress of a PDF be told while it is made, where somebody listens."""
    if progress is SILENT:
        yield
        return
    log, follower = logging.getLogger(LOG), Follower(progress)
    before = log.level
    log.addHandler(follower)
    log.setLevel(logging.INFO)
    try:
        yield
    finally:
        log.setLevel(before)
        log.removeHandler(follower)
