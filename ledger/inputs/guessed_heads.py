"""Which row of a file is the head of which table, by its words and by what stands below it."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from ledger.domain.pay import CLASSES, class_named
from ledger.inputs.column_words import (
    ACROSS,
    HOURS,
    OF_NAMES,
    WITHOUT_HOURS,
    plain,
    words_of,
)
from ledger.inputs.columns import LAID_OUT
from ledger.tables.guessed_texts import MARKS, is_date, is_number, is_of_units, looks_like, total_of
from ledger.tables.guessing import Rows
from ledger.tables.heads import head_of_rows
from ledger.tables.small_tables import FileColumn
from ledger.tables.written_values import month_of

HEAD_ROWS = 40
# Columns that are seldom columns of a file: what they say stands elsewhere, or is the same for all.
SELDOM = ("technique", "control_account")


@dataclass
class Candidate:
    """A row taken for the head of a table: where each column stands, and how well it fits.

    `rows` is how many rows the head has, `at` the last of them; `beside` what stands below the same
    head in other tabs. `across` has the heads laid across, by their place, with what they say;
    whether an upper head or days tell that they are is `is_across_named`. `worded` has a place and
    the texts there of rows that are no lines.
    """

    table: str
    tab: str
    at: int
    rows: int
    head: list[str]
    written: list[str]
    below: Rows
    above: Rows
    beside: Rows = field(default_factory=list)
    fields: dict[str, int] = field(default_factory=dict)
    across: dict[int, str] = field(default_factory=dict)
    is_across_named: bool = False
    worded: tuple[int, frozenset[str]] = (0, frozenset())
    score: float = 0

    @property
    def columns(self) -> tuple[FileColumn, ...]:
        return tuple(column for column in LAID_OUT[self.table] if not column.unused)

    @property
    def fit(self) -> tuple[float, int]:
        """How well the head fits: of two alike the one of which more columns are known."""
        return self.score, len(self.fields)

    def head_at(self, at: int) -> str:
        """Return the head over a place as it is written, "" without one."""
        return self.written[at] if at < len(self.written) else ""

    def texts(self, at: int) -> list[str]:
        """Return what stands under a head, in rows that are no titles and no totals."""
        return [row[at].strip() for row in self.all_lines() if at < len(row)]

    @property
    def lines(self) -> Rows:
        return list(filter(self._is_line, self.below))

    def all_lines(self) -> Rows:
        """Return the lines below the head, and those of other tabs."""
        return [*self.lines, *filter(self._is_line, self.beside)]

    def _is_line(self, row: Sequence[str]) -> bool:
        at, texts = self.worded
        is_worded = at < len(row) and " ".join(row[at].split()) in texts
        return is_line(row) and not is_worded

    def missing(self) -> list[FileColumn]:
        """Return the needed columns that no head gives."""
        placed = {*self.fields, *(ACROSS[self.table] if self.across else ())}
        return [each for each in self.columns if each.needed and each.name not in placed]


def is_line(row: Sequence[str]) -> bool:
    """Return whether a row may be a line of a table: neither title nor total."""
    filled = [cell for cell in map(str.strip, row) if cell]
    return len(filled) > 1 and not is_of_units(row) and not any(map(total_of, filled))


def candidates(samples: Sequence[tuple[str, Rows]], tables: Sequence[str]) -> Iterator[Candidate]:
    """Yield the likeliest head of each of the tables."""
    for table in tables:
        heads = [
            each for name, rows in samples for each in _heads(table, name, rows) if each.score > 0
        ]
        if heads:
            yield max(heads, key=lambda each: (each.score, -each.rows, -each.at))


def _heads(table: str, tab: str, rows: Rows) -> Iterator[Candidate]:
    for at in range(min(len(rows), HEAD_ROWS)):
        for count in (1, 2):
            first = at - count + 1
            if first < 0 or not any(map(str.strip, rows[at])):
                continue
            own = rows[first : at + 1]
            written = _written(own)
            if len(list(filter(None, written))) < 2:
                continue
            candidate = Candidate(
                table, tab, at, count, head_of_rows(own), written, rows[at + 1 :], rows[:first]
            )
            _find_fields(candidate, [plain(cell) for cell in _to(own[-1], len(written))])
            _find_across(candidate, own)
            candidate.score = _score(candidate)
            _leave_whole(candidate)
            yield candidate


def _written(rows: Rows) -> list[str]:
    """Return the heads as they are written, the upper of two before the lower one."""
    if len(rows) < 2:
        return [" ".join(cell.split()) for cell in rows[0]]
    heads = head_of_rows(rows)
    upper, lower = ([" ".join(cell.split()) for cell in _to(row, len(heads))] for row in rows)
    over, written = "", []
    for top, below, head in zip(upper, lower, heads, strict=True):
        over = top or (over if below else "")
        written.append(f"{over} {below}".strip() if head else "")
        over = over if below else ""
    return written


def _to(row: Sequence[str], width: int) -> list[str]:
    return [*row, *[""] * (width - len(row))]


def _find_fields(candidate: Candidate, lower: Sequence[str]) -> None:
    """Find the columns by the words of their heads, where what stands below can be theirs."""
    whole = [plain(cell) for cell in candidate.head]
    taken: set[int] = set()
    for column in sorted(candidate.columns, key=lambda each: not each.needed):
        for word in dict.fromkeys(map(plain, words_of(column.name))):
            at = next(
                (
                    place
                    for heads in (whole, lower)
                    for place, cell in enumerate(heads)
                    if cell == word
                    and candidate.head[place]
                    and place not in taken
                    and looks_like(column.name, column.read_as, candidate.texts(place))
                    and _is_taken(column, candidate.texts(place))
                ),
                None,
            )
            if at is not None:
                candidate.fields[column.name] = at
                taken.add(at)
                break


def _is_taken(column: FileColumn, texts: Sequence[str]) -> bool:
    """Return whether a column of words takes most of the texts: of some it takes a few words."""
    if column.read_as != "text":
        return True
    filled = [text for text in texts if text and text not in MARKS]
    return 2 * sum(_parses(column, text) for text in filled) >= len(filled)


def _parses(column: FileColumn, text: str) -> bool:
    try:
        column.parse(text)
    except ValueError:
        return False
    return True


def _find_across(candidate: Candidate, own: Rows) -> None:
    """Find heads laid across: days, or words such as trades with numbers below them."""
    if candidate.table not in ACROSS:
        return
    field_name, value = ACROSS[candidate.table]
    free = [
        at for at, cell in enumerate(candidate.head) if cell and at not in candidate.fields.values()
    ]
    if field_name == "date":
        days = {
            at: candidate.written[at]
            for at in free
            if is_date(candidate.written[at]) and _fits(candidate, value, at)
        }
        candidate.across = days if len(days) > 1 and field_name not in candidate.fields else {}
        candidate.is_across_named = True
        return
    if len(own) == 2:
        named = {plain(word) for word in words_of(value)}
        over = _reaching(own)
        under = {at: _to(own[1], len(over))[at].strip() for at in range(len(over))}
        group = {at: under[at] for at, top in over.items() if plain(top) in named and under[at]}
        if len(group) > 1 and candidate.fields.get(field_name) is None:
            candidate.across = group
            candidate.is_across_named = True
    elif field_name not in candidate.fields and value not in candidate.fields:
        candidate.across = {at: candidate.written[at] for at in free if _is_amount(candidate, at)}
    if len(candidate.across) < 2:
        candidate.across = {}
        return
    candidate.fields = {
        name: at for name, at in candidate.fields.items() if at not in candidate.across
    }


def _leave_whole(candidate: Candidate) -> None:
    """Leave out what is of a whole row, as gross: it would count for each of the heads across."""
    whole = {column.name for column in candidate.columns if column.adds_up and candidate.across}
    candidate.fields = {name: at for name, at in candidate.fields.items() if name not in whole}


def _reaching(own: Rows) -> dict[int, str]:
    """Return the upper head over each place of a head of two rows."""
    width = max(map(len, own))
    over, reached = "", {}
    for at, (top, below) in enumerate(zip(_to(own[0], width), _to(own[1], width), strict=True)):
        over = top.strip() or (over if below.strip() else "")
        reached[at] = over
        over = over if below.strip() else ""
    return reached


def _fits(candidate: Candidate, column: str, at: int) -> bool:
    """Return whether what stands under a day is of a column: percents have their sign."""
    filled = [text for text in candidate.texts(at) if text and text not in MARKS]
    return all(text.endswith("%") == (column == "percent") for text in filled)


def _is_amount(candidate: Candidate, at: int) -> bool:
    filled = [text for text in candidate.texts(at) if text and text not in MARKS]
    is_total = bool(total_of(candidate.written[at]))
    return bool(filled) and not is_total and all(map(is_number, filled))


def _score(candidate: Candidate) -> float:
    """Return how many columns are known, less what is needed and not there.

    What a table is about, hours or amounts, stands nowhere else: without it a row is not its head.
    """
    elsewhere = {
        *labels_above(candidate),
        *([] if month_of(candidate.tab, 2000) is None else _days(candidate)),
    }
    missing = [each for each in candidate.missing() if each.name not in elsewhere]
    lacking = sum(_weight(each) for each in missing)
    known = len(candidate.fields) + min(len(candidate.across), 2)
    lacking += bool(candidate.across) and not candidate.is_across_named
    lacking += 2 * (candidate.table in WITHOUT_HOURS and _has_hours(candidate))
    return known - lacking + _named(candidate) if known > 1 and candidate.fields else 0


def _weight(column: FileColumn) -> float:
    """Return how much it tells against a table that it lacks a column that it needs."""
    if column.name in SELDOM:
        return 0.5
    return 3 if column.read_as in ("hours", "number") else 1


def _has_hours(candidate: Candidate) -> bool:
    taken = {*candidate.fields.values()}
    free = (cell for at, cell in enumerate(candidate.written) if at not in taken)
    return any(plain(cell) in HOURS for cell in free)


def _named(candidate: Candidate) -> float:
    """Return how far words tell the table: of a title, our own names, or pay classes across."""
    of_table = {plain(word) for word in OF_NAMES.get(candidate.table, ())}
    titles = [candidate.tab, *(cell for row in candidate.above for cell in row)]
    words = {word for title in titles for word in _words_of(title)}
    classes = sum(class_named(text) in CLASSES for text in candidate.across.values())
    of_pay = candidate.across and ACROSS[candidate.table][0] == "pay_class" and classes
    own = {column.name for column in LAID_OUT[candidate.table]}
    is_own = {*candidate.head} - {""} <= own
    return bool(of_table & words) / 2 + bool(of_pay) + 2 * is_own


def _words_of(title: str) -> list[str]:
    """Return the words of a title, and each two that follow each other."""
    words = re.findall(r"[^\W\d_]+", title.lower())
    return [*words, *map(" ".join, pairwise(words))]


def _days(candidate: Candidate) -> list[str]:
    return [each.name for each in candidate.columns if each.read_as == "date"]


def labels_above(candidate: Candidate) -> Mapping[str, str]:
    """Return the labels above a head that a column's words know, as written, by column."""
    labels = {
        plain(cell.partition(":")[0]): " ".join(cell.split()).partition(":")[0]
        for row in candidate.above
        for cell in row
        if cell.strip()
    }
    return {
        column.name: labels[word]
        for column in candidate.columns
        for word in map(plain, words_of(column.name))
        if column.name not in candidate.fields and word in labels
    }
