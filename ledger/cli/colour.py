"""Colour for what is out of the ordinary, on a terminal; words or figures say it too.

A text bears its marks until it is printed, so that in a pipe or a file it is plain. One colour, the
terminal's own red; none where NO_COLOR is set and not empty (https://no-color.org).
"""

import os
from collections.abc import Sequence
from typing import TextIO

import typer

EXCEPTION = typer.colors.RED
Spans = tuple[tuple[int, int], ...]


class Marked(str):
    """A text of which spans are out of the ordinary, each from one place up to another."""

    spans: Spans


def spans_of(text: str) -> Spans:
    """Return what of a text is marked."""
    return text.spans if isinstance(text, Marked) else ()


def with_spans(text: str, spans: Spans) -> str:
    """Return a text with these spans marked."""
    if not spans:
        return text
    marked_text = Marked(text)
    marked_text.spans = spans
    return marked_text


def marked(text: str, part: str | None = None) -> str:
    """Return a text with the first place of a part marked, else the whole."""
    at = 0 if part is None else text.find(part)
    length = len(text if part is None else part)
    return with_spans(text, ((at, at + length),) if length and at >= 0 else ())


def part_of(text: str, start: int, end: int) -> str:
    """Return the text from one place up to another; what is marked of it stays marked."""
    clipped = [(max(first, start), min(last, end)) for first, last in spans_of(text)]
    spans = tuple((first - start, last - start) for first, last in clipped if first < last)
    return with_spans(str(text)[start:end], spans)


def joined(gap: str, texts: Sequence[str]) -> str:
    """Return texts joined by another; what is marked of them stays marked."""
    if not any(isinstance(text, Marked) for text in texts):
        return gap.join(texts)
    spans: list[tuple[int, int]] = []
    at = 0
    for text in texts:
        spans += [(at + start, at + end) for start, end in spans_of(text)]
        at += len(text) + len(gap)
    return with_spans(gap.join(texts), tuple(spans))


def has_colour(stream: TextIO) -> bool:
    """Return whether a stream is a terminal that shows colour, and nobody asked for none."""
    return (
        stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM", "") != "dumb"
    )


def coloured_for(stream: TextIO, text: str) -> str:
    """Return a text as a stream shows it: what is marked in colour where there is colour."""
    spans = spans_of(text)
    if not spans or not has_colour(stream):
        return str(text)
    pieces, at = [], 0
    for start, end in spans:
        pieces += [text[at:start], typer.style(text[start:end], fg=EXCEPTION)]
        at = end
    return "".join([*pieces, text[at:]])
