"""Markdown as plain text for a terminal: paragraphs and tables wrapped to its width."""

import re
import textwrap
from collections.abc import Callable, Iterator

LINK = re.compile(r"\[([^\]]+)\]\([^)]+\)")
NAME = re.compile(r"`([^`\s]+)`")
CELL = re.compile(r"(?<!\\)\|")
ITEM = re.compile(r"(?:- |\d+\. )")
GAP = "  "
NARROWEST = 12


def as_text(markdown: str, width: int) -> str:
    """Return a page as text no wider than `width`, but for code, which keeps its lines."""
    blocks = [BLOCKS[kind](lines, width) for kind, lines in _blocks(markdown)]
    return "\n\n".join(block for block in blocks if block)


def _blocks(markdown: str) -> Iterator[tuple[str, list[str]]]:
    """Yield each block with its kind: code, comment, heading, table, list or text."""
    lines = iter(markdown.splitlines())
    block: list[str] = []
    kind = "text"
    for line in lines:
        if line.startswith("```"):
            yield kind, block
            yield "code", list(iter(lambda: next(lines, "```"), "```"))
            block, kind = [], "text"
            continue
        now = _kind(line, kind)
        if block and (not line or now != kind or now == "heading"):
            yield kind, block
            block = []
        kind = now
        if line:
            block.append(line)
    yield kind, block


def _kind(line: str, before: str) -> str:
    if line.startswith("#"):
        return "heading"
    if line.startswith("<!--"):
        return "comment"
    if line.startswith("|"):
        return "table"
    if ITEM.match(line) or (before == "list" and line.startswith("  ")):
        return "list"
    return "text"


def _inline(text: str) -> str:
    """Return text without its marks; code that has a space keeps its quotes."""
    return NAME.sub(r"\1", LINK.sub(r"\1", text)).replace("**", "").replace("\\|", "|")


def _heading(lines: list[str], width: int) -> str:
    marks, _, title = lines[0].partition(" ")
    return f"{title}\n{('=' if marks == '#' else '-') * min(len(title), width)}"


def _paragraph(lines: list[str], width: int) -> str:
    return textwrap.fill(_inline(" ".join(lines)), width, break_on_hyphens=False)


def _list(lines: list[str], width: int) -> str:
    items: list[str] = []
    for line in lines:
        if ITEM.match(line):
            items.append(line)
        else:
            items[-1] += f" {line.strip()}"
    return "\n".join(
        textwrap.fill(_inline(item), width, subsequent_indent=GAP, break_on_hyphens=False)
        for item in items
    )


def _code(lines: list[str], width: int) -> str:
    return textwrap.indent("\n".join(lines), GAP)


def _table(lines: list[str], width: int) -> str:
    rows = [[_inline(cell.strip()) for cell in CELL.split(line)[1:-1]] for line in lines]
    head, body = rows[0], rows[2:]
    widths = _widths([head, *body], width)
    rule = ["-" * each for each in widths]
    return "\n".join(_row(cells, widths) for cells in (head, rule, *body))


def _widths(rows: list[list[str]], width: int) -> list[int]:
    """Return the widths of a table's columns: the widest are cut until all fit."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    while sum(widths) + len(GAP) * (len(widths) - 1) > width and max(widths) > NARROWEST:
        widths[widths.index(max(widths))] -= 1
    return widths


def _row(cells: list[str], widths: list[int]) -> str:
    wrapped = [
        textwrap.wrap(cell, each, break_on_hyphens=False) or [""]
        for cell, each in zip(cells, widths, strict=True)
    ]
    return "\n".join(
        GAP.join(
            (lines[number] if number < len(lines) else "").ljust(each)
            for lines, each in zip(wrapped, widths, strict=True)
        ).rstrip()
        for number in range(max(map(len, wrapped)))
    )


BLOCKS: dict[str, Callable[[list[str], int], str]] = {
    "code": _code,
    "comment": lambda lines, width: "",
    "heading": _heading,
    "list": _list,
    "table": _table,
    "text": _paragraph,
}
