"""A bar on a terminal for work that takes longer than a moment; nothing in a pipe."""

import contextlib
import shutil
import sys
from collections.abc import Callable, Sequence
from time import monotonic
from typing import Any

import typer

from ledger.progress import SILENT, Progress

SOON = 0.5  # seconds; what ends before has no bar
# Of a line the bar has so many columns, and with its brackets, blanks and counts so many.
BAR, BESIDE_NAME = 20, 44


class ProgressBar(Progress):
    """How many steps have begun, and which is at work; it stands until something else is said."""

    def __init__(self) -> None:
        self._drawn = contextlib.ExitStack()
        self._forget()

    def _forget(self) -> None:
        self._bar: Any = None
        self._name, self._of, self._begun, self._since = "", 0, 0, monotonic()

    def step(self, name: str, of: int) -> None:
        if of != self._of:
            self.end()
            self._of = of
        if name != self._name or not self._begun:
            self._name, self._begun = name, min(self._begun + 1, of)
            self._draw(name)

    def within(self, done: int, of: int = 0) -> None:
        self._draw(f"{self._name} {done:,}{f' of {of:,}' if of else ''}")

    def end(self) -> None:
        """Leave the bar as it is and go on below it."""
        self._drawn.close()
        self._forget()

    def _draw(self, at_work: str) -> None:
        if self._bar is None:
            if monotonic() - self._since < SOON:
                return
            self._bar = self._drawn.enter_context(bar_of(range(self._of), _words))
        self._bar.current_item = at_work
        self._bar.update(self._begun - self._bar.pos)
        self._bar.render_progress()


def bar_of(steps: Sequence[Any], words: Callable[[Any], str | None]) -> Any:
    """Return a bar over steps, with the words of the one at work, that keeps to one line."""
    return typer.progressbar(
        steps,
        show_eta=False,
        show_percent=False,
        show_pos=True,
        item_show_func=lambda step: (words(step) or "")[: _room()] or None,
        width=BAR,
        file=sys.stderr,
        hidden=not sys.stderr.isatty(),
    )


def _room() -> int:
    return max(shutil.get_terminal_size().columns - BESIDE_NAME, 0)


def _words(name: str | None) -> str | None:
    return name and name.replace("_", " ")


_BAR = ProgressBar()


def progress() -> Progress:
    """Return where work tells how far it is: a bar on a terminal, nowhere in a pipe."""
    return _BAR if sys.stderr.isatty() else SILENT


def end() -> None:
    """End the bar before anything else is said."""
    _BAR.end()
