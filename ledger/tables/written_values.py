"""Dates, hours and numbers as a layout says they are written, in the form that is parsed.

What a text is read as does not depend on where it stands, so all texts of a table are read at once.
Dates, hours and times go through the expressions by which sheets are read.
"""

import calendar
import functools
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from ledger.store.book import Book
from ledger.tables.layout_keys import THOUSANDS
from ledger.tables.layouts import Layout
from ledger.tables.readings import Reading, clock, hours, iso_date, texts_read
from ledger.tables.small_tables import FileColumn, Parser

# The months by the first letters of their names, in English and German.
_MONTHS = {
    name: number
    for number, names in enumerate(
        (
            ("jan", "jän"),
            ("feb",),
            ("mar", "mär", "mrz"),
            ("apr",),
            ("may", "mai"),
            ("jun",),
            ("jul",),
            ("aug",),
            ("sep",),
            ("oct", "okt"),
            ("nov",),
            ("dec", "dez"),
        ),
        start=1,
    )
    for name in names
}
_MONTH_NAMED = re.compile(r"([^\W\d_]{3,9})\.?(?:[ ./'-]*([0-9]{4}|[0-9]{2}))?")
_MONTH_NUMBERED = re.compile(r"(?:([0-9]{4})[-/.]([0-9]{1,2})|([0-9]{1,2})[-/.]([0-9]{4}))")
_MINUS = "\u2212"
_BLANKS = str.maketrans(dict.fromkeys("\u00a0\u202f\u2009", " "))


@dataclass(frozen=True)
class WrittenValues:
    """The texts of a table's dates, hours and times, each with its form that is parsed."""

    layout: Layout
    dates: Mapping[str, str | None]
    hours: Mapping[str, str | None]
    clocks: Mapping[str, str | None]

    def column(self, column: FileColumn, head: str) -> FileColumn:
        """Return a column that takes texts as they are written under a head."""
        readers: Mapping[str, Callable[[str], str]] = {
            "date": functools.partial(self._date, ends=column.ends),
            "hours": self._hours,
            "clock": lambda text: self.clocks.get(text) or text,
            "number": lambda text: number(text, self.layout),
        }
        label = column.name if head in ("", column.name) else f"{column.name} ({head})"
        read = readers.get(column.read_as)
        return replace(column, label=label, parse=_parser(column, read) if read else column.parse)

    def _date(self, text: str, *, ends: bool) -> str:
        if month := month_of(text, self.layout.year):
            return f"{date(*month, calendar.monthrange(*month)[1] if ends else 1)}"
        if iso := self.dates.get(text):
            return iso
        raise ValueError(f'"{text}" is not a valid date in the order {self.layout.date_order}')

    def _hours(self, text: str) -> str:
        sign, bare = _signed(ungrouped(text, self.layout))
        if hours := self.hours.get(bare):
            return sign + hours
        raise ValueError(f'"{text}" does not fit the layout: {_rule(self.layout)}')


def _parser(column: FileColumn, read: Callable[[str], str]) -> Parser:
    """Return the column's parser for what is read of a text; a message has the text as written."""

    @functools.wraps(column.parse)
    def parse(text: str) -> Any:
        form = read(text)
        try:
            return column.parse(form)
        except ValueError as error:
            raise ValueError(str(error).replace(f'"{form}"', f'"{text}"')) from None

    return parse


def written_values(
    book: Book, layout: Layout, texts: Mapping[str, Iterable[str]], *, is_tab: bool
) -> WrittenValues:
    """Return what the texts of each kind (date, hours, clock) are read as."""
    reading = Reading(
        {},
        decimal_mark=layout.decimal_mark,
        duration=layout.duration,
        numbers=is_tab and layout.duration == "h.mm",
    )
    bare = (_signed(ungrouped(text, layout))[1] for text in texts["hours"])
    return WrittenValues(
        layout,
        _all_read(book, texts["date"], iso_date("one", layout.date_order)),
        _all_read(book, bare, hours("one", reading)),
        _all_read(book, texts["clock"], clock("one", reading)),
    )


def _all_read(book: Book, texts: Iterable[str], expression: str) -> dict[str, str | None]:
    different = list(dict.fromkeys(texts))
    return dict(zip(different, texts_read(book, different, expression), strict=True))


def number(text: str, layout: Layout) -> str:
    """Return a number with a point and without marks of thousands, as 1234.5; % stays.

    Raises: ValueError when it does not fit the layout.
    """
    mark = layout.decimal_mark
    sign, bare = _signed(_without_currency(ungrouped(text, layout)))
    digits = bare.removesuffix("%").rstrip()
    if re.fullmatch(rf"[0-9]+(?:{re.escape(mark)}[0-9]+)?", digits):
        return sign + bare.replace(mark, ".")
    grouped = next((each for each in THOUSANDS if _is_grouped(_bare(text), mark, each)), None)
    if grouped and grouped != layout.thousands:
        raise ValueError(f'"{text}" may have marked thousands; name thousands in the layout')
    raise ValueError(f'"{text}" does not fit the layout: decimal_mark "{mark}"')


def ungrouped(text: str, layout: Layout) -> str:
    """Return a text without marks of thousands where the layout names them and they fit."""
    mark = layout.thousands
    composed = text.translate(_BLANKS).replace("\u2019", "'")
    return (
        composed.replace(mark, "")
        if mark and _is_grouped(_bare(composed), layout.decimal_mark, mark)
        else composed
    )


def _bare(text: str) -> str:
    return _signed(_without_currency(text.translate(_BLANKS)))[1]


def _is_grouped(text: str, decimal_mark: str, thousands: str) -> bool:
    by, mark = re.escape(thousands), re.escape(decimal_mark)
    pattern = rf"[0-9]{{1,3}}(?:{by}[0-9]{{3}})+(?:{mark}[0-9]+)? ?%?"
    return thousands != decimal_mark and bool(re.fullmatch(pattern, text))


def _signed(text: str) -> tuple[str, str]:
    """Return the sign, "" or "-", and the rest of a text."""
    return ("-", text[1:].lstrip()) if text[:1] in {"-", _MINUS} else ("", text)


def _without_currency(text: str) -> str:
    """Return an amount without the sign of its currency before or after it."""
    for at in (0, -1):
        if text and unicodedata.category(text[at]) == "Sc":
            text = (text[1:] if at == 0 else text[:-1]).strip()
    return text


def month_of(text: str, year: int | None) -> tuple[int, int] | None:
    """Return year and month of a text that names a month and no day: March 2026, 2026-03, 3/2026.

    A month without its year is that of `year`; None for any other text.
    """
    if match := _MONTH_NUMBERED.fullmatch(text):
        first, second = (match[1], match[2]) if match[1] else (match[4], match[3])
        month = int(second)
        return (int(first), month) if 1 <= month <= 12 else None
    if not (match := _MONTH_NAMED.fullmatch(text)):
        return None
    number_named = _MONTHS.get(match[1].lower()[:3])
    named_year = int(match[2].rjust(4, "0")) if match[2] else year
    if number_named is None or named_year is None:
        return None
    return (named_year + 2000 if named_year < 100 else named_year), number_named


def _rule(layout: Layout) -> str:
    return Reading({}, decimal_mark=layout.decimal_mark, duration=layout.duration).duration_rule
