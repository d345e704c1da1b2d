"""How far the cells of a workbook reach and how much text they come to, from its XML alone."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from xml.parsers import expat

from ledger.errors import Refused

# Cells of all tabs, each as wide and long as its furthest cell; characters of all their texts.
MOST_CELLS, MOST_TEXT = 16_000_000, 500_000_000
_DIGITS = "0123456789"
_OF_NO_VALUE = ("style-name", "-repeated", "-spanned", "content-validation-name")


@dataclass
class Extents:
    """The cells that the tabs of a workbook reach over, and the characters of their texts."""

    cells: int = 0
    text: int = 0
    needs_texts: bool = False
    _locals: dict[str, str] = field(default_factory=dict)

    def refuse_too_large(self, name: str) -> None:
        """Raises: Refused, naming the file, when it asks for more than is read."""
        if self.cells > MOST_CELLS:
            raise Refused("workbook_too_wide", file=name, cells=self.cells, most=MOST_CELLS)
        if self.text > MOST_TEXT:
            raise Refused("workbook_too_wordy", file=name, millions=MOST_TEXT // 1_000_000)

    def local(self, tag: str) -> str:
        """Return a tag without its prefix."""
        if tag not in self._locals:
            self._locals[tag] = tag.rpartition(":")[2]
        return self._locals[tag]

    def measure(self, pieces: Iterator[bytes]) -> None:
        """Take in one part. Raises: ExpatError and ValueError when it is no sound XML."""
        raise NotImplementedError

    def measure_texts(self, pieces: Iterator[bytes]) -> None:
        """Take in one part again, for the texts that its cells refer to."""
        raise NotImplementedError


def _parse(parser: Any, pieces: Iterator[bytes]) -> None:
    parser.StartDoctypeDeclHandler = _no_doctype
    for piece in pieces:
        parser.Parse(piece)
    parser.Parse(b"", True)


def _no_doctype(*_: object) -> None:
    # The standards of workbooks have none, and entities of one could grow without end.
    raise ValueError("a part of a workbook has no document type")


def whole(text: str | None, otherwise: int) -> int:
    """Return a whole number of ASCII digits. Raises: ValueError for any other text."""
    if text is None:
        return otherwise
    if not (text.isascii() and text.isdigit() and len(text) < 19):
        raise ValueError(text)
    return int(text)


def column_number(letters: str) -> int:
    """Return the number of a column by its letters, A = 1."""
    if not (letters.isascii() and letters.isalpha() and len(letters) < 8):
        raise ValueError(letters)
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


@dataclass
class XlsxExtents(Extents):
    """Extents of XLSX: a cell names its place, and may name a text of the shared ones."""

    lengths: list[int] = field(default_factory=list)
    referring: int = 0

    def measure(self, pieces: Iterator[bytes]) -> None:
        sheet = _Sheet(self.local)
        texts = _SharedTexts(self.local)
        parser = expat.ParserCreate()

        def start(tag: str, attributes: dict[str, str]) -> None:
            kind = self.local(tag)
            if kind == "c":
                sheet.cell(attributes)
            elif kind == "row":
                sheet.row(attributes)
            elif kind == "sst":
                parser.EndElementHandler = texts.end
                parser.CharacterDataHandler = texts.characters

        parser.StartElementHandler = start
        _parse(parser, pieces)
        self.cells += sheet.places()
        self.referring += sheet.referring
        self.lengths += texts.lengths
        # Only where the longest text in each cell would be too much are the texts looked up.
        self.needs_texts = self.referring * max(self.lengths, default=0) > MOST_TEXT

    def measure_texts(self, pieces: Iterator[bytes]) -> None:
        parser = expat.ParserCreate()
        state = {"shared": False, "text": ""}

        def start(tag: str, attributes: dict[str, str]) -> None:
            kind = self.local(tag)
            if kind == "c":
                state["shared"] = attributes.get("t") == "s"
            elif kind == "v" and state["shared"]:
                state["text"] = ""
                parser.CharacterDataHandler = characters

        def characters(text: str) -> None:
            state["text"] = f"{state['text']}{text}"

        def end(tag: str) -> None:
            if parser.CharacterDataHandler and self.local(tag) == "v":
                parser.CharacterDataHandler = None
                at = whole(str(state["text"]).strip(), 0)
                self.text += self.lengths[at]

        parser.StartElementHandler, parser.EndElementHandler = start, end
        _parse(parser, pieces)


class _SharedTexts:
    """The lengths of the shared texts, in their order."""

    def __init__(self, local: Any) -> None:
        self.local = local
        self.lengths: list[int] = []
        self.length = 0

    def characters(self, text: str) -> None:
        self.length += len(text)

    def end(self, tag: str) -> None:
        if self.local(tag) == "si":
            self.lengths.append(self.length)
            self.length = 0


class _Sheet:
    """The furthest row and column of a tab; cells and rows without a place follow the one before.

    What follows is counted on top of what is named, so that no reader can come further.
    """

    def __init__(self, local: Any) -> None:
        self.local = local
        self.letters: set[str] = set()
        self.row_text = ""
        self.last_row = self.unnamed_rows = 0
        self.unnamed = self.most_unnamed = 0
        self.referring = 0

    def row(self, attributes: dict[str, str]) -> None:
        self.unnamed = 0
        if "r" in attributes:
            self.last_row = max(self.last_row, whole(attributes["r"], 0))
        else:
            self.unnamed_rows += 1

    def cell(self, attributes: dict[str, str]) -> None:
        if attributes.get("t") == "s":
            self.referring += 1
        place = attributes.get("r")
        if place is None:
            self.unnamed += 1
            self.most_unnamed = max(self.most_unnamed, self.unnamed)
            return
        letters = place.rstrip(_DIGITS)
        self.letters.add(letters)
        row = place[len(letters) :]
        if row != self.row_text:
            self.row_text = row
            self.last_row = max(self.last_row, whole(row, 0))

    def places(self) -> int:
        columns = max(map(column_number, self.letters), default=0) + self.most_unnamed
        return columns * (self.last_row + self.unnamed_rows)


@dataclass
class OdsExtents(Extents):
    """Extents of ODS: a cell and a row say how often they are repeated, blank ones at the end too.

    Blank ones count only before something that is not.
    """

    def measure(self, pieces: Iterator[bytes]) -> None:
        table = _Table(self.local)
        parser = expat.ParserCreate()
        parser.StartElementHandler = table.start
        parser.EndElementHandler = table.end
        parser.CharacterDataHandler = table.characters
        _parse(parser, pieces)
        self.cells += table.places
        self.text += table.text


class _Table:
    def __init__(self, local: Any) -> None:
        self.local = local
        self.places = self.text = 0
        self.row = self.last_row = self.widest = 0
        self.rows_alike = 1
        self.column = self.last_column = self.row_text = 0
        self.cells_alike = 0
        self.filled = False
        self.length = 0
        self.depth = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        kind = self.local(tag)
        if kind == "table":
            self.depth += 1
            if self.depth > 1:
                raise ValueError("a table stands in another")
            self.row = self.last_row = self.widest = 0
        elif kind == "table-row":
            self.rows_alike = self._number(attributes, "number-rows-repeated", 1)
            self.column = self.last_column = self.row_text = 0
        elif kind in {"table-cell", "covered-table-cell"}:
            self.cells_alike = self._number(attributes, "number-columns-repeated", 1)
            valued = [n for n in attributes if not n.endswith(_OF_NO_VALUE) and ":" in n]
            self.filled, self.length = bool(valued), sum(map(len, attributes.values()))
        elif self.cells_alike:
            self.filled = True
            if kind == "s":
                self.length += self._number(attributes, "c", 1)

    def characters(self, text: str) -> None:
        self.length += len(text)

    def end(self, tag: str) -> None:
        kind = self.local(tag)
        if kind in {"table-cell", "covered-table-cell"}:
            self.column += self.cells_alike
            if self.filled:
                self.last_column = self.column
                self.row_text += self.length * self.cells_alike
            self.cells_alike = 0
        elif kind == "table-row":
            self.row += self.rows_alike
            if self.last_column:
                self.last_row = self.row
                self.widest = max(self.widest, self.last_column)
                self.text += self.row_text * self.rows_alike
        elif kind == "table":
            self.depth -= 1
            self.places += self.last_row * self.widest

    def _number(self, attributes: dict[str, str], name: str, otherwise: int) -> int:
        written = [value for key, value in attributes.items() if self.local(key) == name]
        return whole(written[0], otherwise) if written else otherwise
