"""How the cells of a table are to be understood, as SQL expressions over texts.

Each gives the form that `lines_parsed` reads (2026-05-31, 7.5, 7:30), or null for what does not
fit.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ledger.domain.calendar import WEEKDAYS
from ledger.domain.codes import word_of
from ledger.store.book import Book
from ledger.store.queries import quoted

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
DATES = {
    "dmy": (r"([0-9]{1,2})[./-]([0-9]{1,2})[./-]([0-9]{4}|[0-9]{2})", (3, 2, 1)),
    "mdy": (r"([0-9]{1,2})[./-]([0-9]{1,2})[./-]([0-9]{4}|[0-9]{2})", (3, 1, 2)),
    "ymd": (r"([0-9]{4})[./-]([0-9]{1,2})[./-]([0-9]{1,2})", (1, 2, 3)),
}
_ISO = "[0-9]{4}-[0-9]{2}-[0-9]{2}"
_NAMED = r"([0-9]{1,2})[ ./-]([A-Za-z]{3})[A-Za-z]*[ ./-]([0-9]{4}|[0-9]{2})"
_CLOCK = "[0-9]{1,6}:[0-5][0-9](?::[0-5][0-9])?"


@dataclass(frozen=True)
class DayColumn:
    """A column of hours of one day: its head, and a date (2026-05-31) or a weekday (0 = Monday)."""

    head: str
    weekday: int | None = None
    date: str = ""


@dataclass(frozen=True)
class Reading:
    """How a table is read.

    `columns` names the head of each field, `constants` the text of a field that holds for all rows,
    `days` the columns of a weekly grid. `numbers` says that number cells keep their own decimal
    point, as those of a workbook do; `as_written` that heads and texts are ours already.
    """

    columns: Mapping[str, str]
    constants: Mapping[str, str] = field(default_factory=dict)
    days: tuple[DayColumn, ...] = ()
    decimal_mark: str = "."
    date_order: str = "ymd"
    duration: str = "any"
    left_out: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    blanks: tuple[str, ...] = ()
    total: tuple[str, tuple[str, ...]] | None = None
    weekdays: Mapping[str, int] = field(default_factory=dict)
    numbers: bool = False
    as_written: bool = False

    @property
    def duration_rule(self) -> str:
        """The part of the layout that a duration has to fit, for a message."""
        return f'decimal_mark "{self.decimal_mark}", duration "{self.duration}"'


def identifier(name: str) -> str:
    """Return a name as an SQL identifier."""
    return '"' + name.replace('"', '""') + '"'


def trimmed(text: str) -> str:
    """Return a text without blanks around it, null when nothing is left."""
    return f"bare({text})"


def iso_date(text: str, order: str) -> str:
    """Return a date as 2026-05-31: ISO, in the order, or with the month by name; 26 is 2026.

    Null for a text in another order and for a day that is not in the calendar.
    """
    without_weekday = f"regexp_replace({text}, '^[A-Za-z]+[.,]* +', '')"
    bare = f"regexp_replace({without_weekday}, '[T ]00:00(:00([.]0+)?)?$', '')"
    pattern, (year, month, day) = DATES[order]
    numeric = [f"regexp_extract({bare}, {quoted(pattern)}, {at})" for at in (year, month, day)]
    named = [f"regexp_extract({bare}, {quoted(_NAMED)}, {at})" for at in (3, 2, 1)]
    number = f"list_position({list(MONTHS)!r}, lower({named[1]}))::VARCHAR"
    return (
        "(TRY_CAST(CASE"
        f" WHEN regexp_full_match({bare}, '{_ISO}') THEN {bare}"
        f" WHEN regexp_full_match({bare}, {quoted(pattern)}) THEN {_joined(*numeric)}"
        f" WHEN regexp_full_match({bare}, {quoted(_NAMED)})"
        f" THEN {_joined(named[0], number, named[2])} END AS DATE)::VARCHAR)"
    )


def texts_read(book: Book, texts: Sequence[str], expression: str) -> list[str | None]:
    """Return what an expression over `one` makes of each text, None where it does not fit."""
    rows = book.execute(
        f"SELECT {expression} FROM (SELECT unnest($texts::VARCHAR[]) AS one)",
        {"texts": list(texts)},
    ).fetchall()
    return [row[0] for row in rows]


def dates_of(book: Book, texts: Sequence[str], order: str) -> list[str | None]:
    """Return each text as an ISO date, None where it is none in the order."""
    return texts_read(book, texts, iso_date("one", order))


def is_one_of(text: str, wanted: Sequence[str]) -> str:
    """Return whether a text is one of those wanted; of one that ends in * whether it begins so."""
    tests = [
        f"starts_with(word_of({text}), {quoted(start)})"
        if (start := beginning_of(each))
        else f"word_of({text}) = {quoted(word_of(each))}"
        for each in wanted
    ]
    return f"coalesce({' OR '.join(tests) or 'false'}, false)"


def is_wanted(text: str, wanted: str) -> bool:
    """Return whether a text is the one wanted, as `is_one_of` says it of a table's."""
    start = beginning_of(wanted)
    return word_of(text).startswith(start) if start else word_of(text) == word_of(wanted)


def beginning_of(wanted: str) -> str:
    """Return how a text begins that is wanted as "Total*"; "" for one that is wanted whole."""
    return word_of(wanted[:-1]) if wanted.endswith("*") else ""


def _joined(year: str, month: str, day: str) -> str:
    century = f"CASE WHEN length({year}) = 2 THEN '20' ELSE '' END"
    return f"{century} || {year} || '-' || lpad({month}, 2, '0') || '-' || lpad({day}, 2, '0')"


def hours(text: str, reading: Reading) -> str:
    """Return a duration as decimal hours with a point or as h:mm, null when it does not fit."""
    bare = f"regexp_replace(lower({text}), ' *(h|hrs?|hours?)$', '')"
    mark = reading.decimal_mark.replace(".", "[.]")
    # A number cell has no zeros at its end: 1.500 is a text, and may be fifteen hundred.
    own_point = (
        f"WHEN regexp_full_match({bare}, '[0-9]{{1,6}}[.][0-9]{{0,4}}[1-9]') THEN {bare} "
        if reading.numbers
        else ""
    )
    decimal = own_point + (
        f"WHEN regexp_full_match({bare}, '[0-9]{{1,6}}(?:{mark}[0-9]{{1,5}})?')"
        f" THEN replace({bare}, ',', '.')"
        f" WHEN regexp_full_match({bare}, '{mark}[0-9]{{1,5}}')"
        f" THEN '0' || replace({bare}, ',', '.')"
    )
    clock = f"WHEN regexp_full_match({bare}, '{_CLOCK}') THEN {bare}"
    minutes = (
        f"WHEN regexp_full_match({bare}, '[0-9]{{1,6}}') THEN ({bare}::BIGINT // 60)::VARCHAR"
        f" || ':' || lpad(({bare}::BIGINT % 60)::VARCHAR, 2, '0')"
    )
    forms = {
        "any": f"{decimal} {clock}",
        "decimal": decimal,
        "h:mm": f"WHEN regexp_full_match({bare}, '[0-9]{{1,6}}') THEN {bare} {clock}",
        "h.mm": f"{_hours_and_minutes(bare, numbers=reading.numbers)} {clock}",
        "minutes": minutes,
    }
    return f"(CASE {forms[reading.duration]} END)"


def _hours_and_minutes(bare: str, *, numbers: bool) -> str:
    # The number cell 7.3 shows the 7.30 that was written.
    pattern = "[0-9]{1,6}(?:[.,][0-5][0-9]" + ("?" if numbers else "") + ")?"
    whole, part = (f"split_part(replace({bare}, ',', '.'), '.', {at})" for at in (1, 2))
    return (
        f"WHEN regexp_full_match({bare}, '{pattern}') THEN {whole} || ':' || rpad({part}, 2, '0')"
    )


_TWELVE_HOURS = r"(0?[1-9]|1[0-2])([:.][0-5][0-9])? ?[ap]\.?m\.?"


def clock(text: str, reading: Reading) -> str:
    """Return a time of day as h:mm; 0730, 7:30 am and, where durations are h.mm, 7.30 are too.

    12 am is midnight, 12 pm noon (common practice, no source).
    """
    hour = f"(regexp_extract({text}, '^[0-9]+')::BIGINT % 12"
    half = f" + CASE WHEN contains(lower({text}), 'p') THEN 12 ELSE 0 END)"
    minutes = f"coalesce(nullif(regexp_extract({text}, '[:.]([0-5][0-9])', 1), ''), '00')"
    dotted = (
        f" WHEN regexp_full_match({text}, '[0-9]{{1,2}}[.,][0-5][0-9]')"
        f" THEN replace(replace({text}, ',', ':'), '.', ':')"
        if reading.duration == "h.mm"
        else ""
    )
    return (
        f"(CASE WHEN regexp_full_match({text}, '[0-9]{{1,2}}:[0-5][0-9]:00') THEN left({text}, -3)"
        f" WHEN regexp_full_match(lower({text}), '{_TWELVE_HOURS}')"
        f" THEN {hour}{half} || ':' || {minutes}"
        f" WHEN regexp_full_match({text}, '[0-2]?[0-9][0-5][0-9]')"
        f" THEN left({text}, -2) || ':' || right({text}, 2){dotted} ELSE {text} END)"
    )


def half_days_differ(start: str, finish: str, reading: Reading) -> str:
    """Return whether one of two times has am or pm and the other, of 1 to 12, has not."""
    has = f"regexp_full_match(lower({start}), '{_TWELVE_HOURS}')"
    also = f"regexp_full_match(lower({finish}), '{_TWELVE_HOURS}')"
    other = f"CASE WHEN {has} THEN {clock(finish, reading)} ELSE {clock(start, reading)} END"
    hour = f"TRY_CAST(split_part({other}, ':', 1) AS BIGINT)"
    return f"coalesce({has} <> {also} AND {hour} BETWEEN 1 AND 12, false)"


def break_minutes(text: str) -> str:
    """Return a break in minutes; 0:30 is 30."""
    return (
        f"(CASE WHEN regexp_full_match({text}, '[0-9]{{1,2}}:[0-5][0-9]') THEN"
        f" (split_part({text}, ':', 1)::BIGINT * 60 + split_part({text}, ':', 2)::BIGINT)::VARCHAR"
        f" ELSE {text} END)"
    )


def day_in_week(start: str, finish: str, weekday: str) -> str:
    """Return the day with a weekday (0 = Monday) of the week that begins or ends on a date."""
    forward = f"({start}::DATE + ((({weekday}) - isodow({start}::DATE) + 8) % 7)::INTEGER)"
    back = f"({finish}::DATE - ((isodow({finish}::DATE) + 6 - ({weekday})) % 7)::INTEGER)"
    return f"(coalesce({forward}, {back})::VARCHAR)"


def weekday_of(text: str, names: Mapping[str, int]) -> str:
    """Return the number of a weekday by its name (0 = Monday), null when it is none."""
    listed = " ".join(
        f"WHEN lower({text}) = {quoted(name)} THEN {at}" for name, at in names.items()
    )
    return (
        f"(CASE {listed} WHEN regexp_full_match({text}, '[A-Za-z]+[.]?')"
        f" THEN list_position({list(WEEKDAYS)!r}, left(lower({text}), 3)) - 1 END)"
    )
