"""Sentences in lines that fit a terminal; what is laid out already stays as it is."""

import re
import textwrap
from collections.abc import Iterator

from ledger.cli.colour import Marked, joined, part_of

FURTHER = "  "  # What the second line of a sentence and those after it begin with.
# What no line ends in: a command in backticks, and a number before its unit.
WHOLE = re.compile(r"`[^`]*`|[0-9] (?=(?:h|%)(?![\w]))")
HELD = "\0"


class LaidOut(Marked):
    """A text in lines of its own, such as a table or what a machine reads."""


def laid_out(text: str) -> LaidOut:
    """Return a text that is printed as it is, however wide its lines are."""
    as_printed = LaidOut(text)
    as_printed.spans = text.spans if isinstance(text, Marked) else ()
    return as_printed


def wrapped(text: str, width: int | None) -> str:
    """Return sentences in lines of at most a width, None for any; what is marked stays marked.

    A line that begins with a blank is to be copied as it is, and so is a command in backticks.
    """
    if width is None or isinstance(text, LaidOut):
        return text
    return joined("\n", list(lines_of(text, width)))


def lines_of(text: str, width: int) -> Iterator[str]:
    """Yield the lines that sentences come to, each of at most a width."""
    at = 0
    for line in text.split("\n"):
        end = at + len(line)
        if len(line) <= width or line.startswith(" "):
            yield part_of(text, at, end)
        else:
            yield from _broken(part_of(text, at, end), width)
        at = end + 1


def _broken(line: str, width: int) -> Iterator[str]:
    """Yield the lines that a long one is broken into, at blanks alone."""
    held = WHOLE.sub(lambda match: match.group().replace(" ", HELD), line)
    at = 0
    for number, words in enumerate(_words(held, width)):
        at = held.index(words, at)
        part = part_of(line, at, at + len(words))
        yield joined("", (FURTHER, part)) if number else part
        at += len(words)


def _words(line: str, width: int) -> list[str]:
    lines = textwrap.wrap(
        line,
        width,
        subsequent_indent=FURTHER,
        break_long_words=False,
        break_on_hyphens=False,
        replace_whitespace=False,
    )
    return [lines[0], *(each.removeprefix(FURTHER) for each in lines[1:])]
