"""The pages people read, taken apart: tables, names in code, examples, links."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MANUAL = ROOT / "ledger" / "manual"
README = ROOT / "README.md"
FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
SPAN = re.compile(r"`([^`\n]+)`")
LINK = re.compile(r"\]\(([^)\s]+)\)")
CELL = re.compile(r"(?<!\\)\|")


@dataclass(frozen=True)
class Page:
    """A page in Markdown."""

    path: Path

    @property
    def name(self) -> str:
        return self.path.relative_to(ROOT).as_posix()

    @property
    def text(self) -> str:
        return self.path.read_text(encoding="utf-8")

    @property
    def prose(self) -> str:
        """The page without its fenced blocks."""
        return FENCE.sub("", self.text)

    def blocks(self, language: str = "") -> list[str]:
        """Return the fenced blocks that are marked with a language; unmarked ones for ""."""
        return [text for marked, text in FENCE.findall(self.text) if marked == language]

    def spans(self) -> list[str]:
        """Return each text that stands in backticks, fenced blocks apart."""
        return [span.replace("\\|", "|") for span in SPAN.findall(self.prose)]

    def links(self) -> list[str]:
        return LINK.findall(self.prose)

    def table(self, mark: str) -> list[list[str]]:
        """Return the rows of the table that follows the comment `mark`, without its head."""
        after = self.text.split(f"<!-- {mark} -->\n")[1]
        lines = after[: after.index("\n\n")].splitlines() if "\n\n" in after else after.splitlines()
        rows = [line for line in lines if line.startswith("|")]
        return [[cell.strip() for cell in CELL.split(row)[1:-1]] for row in rows[2:]]

    def names(self, mark: str, column: int = 0) -> list[str]:
        """Return the names in backticks in a column of the table that follows `mark`."""
        return [name for row in self.table(mark) for name in SPAN.findall(row[column])]


def manual() -> list[Page]:
    """Return the pages of the manual, without its index."""
    return [Page(path) for path in sorted(MANUAL.glob("*.md")) if path.name != "README.md"]


def page(name: str) -> Page:
    return Page(MANUAL / f"{name}.md")


def examples(pages: list[Page]) -> Iterator[tuple[str, str]]:
    """Yield each command of the program on the pages, in blocks and in backticks, with its page."""
    for each in pages:
        blocks = [*each.blocks(), *each.blocks("sh")]
        lines = [line for block in blocks for line in block.splitlines()]
        for text in [line.removeprefix(".venv/bin/") for line in lines] + each.spans():
            if re.match(r"fairhours [a-z-]", text) and "  " not in text:
                yield each.name, text
