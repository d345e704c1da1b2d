"""Words by which `guess layout` knows a column; a yard's own words go into its layout."""

import re
from collections.abc import Sequence

from ledger.domain.calendar import WEEKDAYS

WORDS: dict[str, tuple[str, ...]] = {
    "worker_id": (
        "worker_id", "worker", "worker no", "worker number", "employee", "employee no", "emp no",
        "clock no", "clock number", "hand", "number", "personnel no", "staff no", "works no", "who",
        "employee id", "employee number", "payroll no", "badge", "no",
        "personalnummer", "mitarbeiter",
    ),
    "worker_name": (
        "worker_name", "worker name", "name", "full name", "employee name", "crew member",
    ),
    "date": ("date", "day", "work date", "worked on", "on", "datum", "jour", "fecha"),
    "hours": (
        "hours", "hrs", "time", "duration", "hours worked", "h", "stunden", "std", "heures",
        "horas",
    ),
    "start": ("start", "from", "in", "begin", "begun", "time in", "von", "beginn"),
    "finish": ("finish", "end", "until", "to", "out", "stop", "time out", "bis", "ende"),
    "break_minutes": ("break_minutes", "break", "breaks", "lunch", "pause"),
    "booking_code": (
        "booking_code", "booking code", "code", "work package", "package", "task", "task code",
        "job code", "work code", "what for", "for", "activity", "cost code",
    ),
    "job": ("job", "job no", "job number", "project", "contract", "vessel", "order"),
    "note": (
        "note", "notes", "remark", "remarks", "comment", "comments", "description", "text",
        "what", "work done", "bemerkung", "bemerkungen",
    ),
    "pay_class": ("pay_class", "pay class", "class", "rate", "pay type"),
    "trade": ("trade", "craft", "gewerk"),
    "rework": ("rework", "rework cause"),
    "approved_by": ("approved_by", "approved by", "approved", "signed", "signed by", "foreman"),
    "sheet": ("sheet", "sheet no", "sheet number"),
    "week_starting": (
        "week_starting", "week starting", "week from", "week commencing", "week beginning", "week",
    ),
    "week_ending": ("week_ending", "week ending", "week to"),
    "weekday": ("weekday", "week day"),
}  # fmt: skip
TOTALS = ("total", "totals", "sum", "all", "all hands", "summe", "gesamt")
DAY_NAMES: tuple[tuple[str, ...], ...] = (
    WEEKDAYS,
    ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"),
    ("mo", "tu", "we", "th", "fr", "sa", "su"),
    ("mo", "di", "mi", "do", "fr", "sa", "so"),
    ("montag", "dienstag", "mittwoch", "donnerstag", "freitag", "samstag", "sonntag"),
    ("lun", "mar", "mer", "jeu", "ven", "sam", "dim"),
    ("lundi", "mardi", "mercredi", "jeudi", "vendredi", "samedi", "dimanche"),
)


# A person's name: words without a digit.
_NAME = re.compile(r"[^\W\d_][^\d_]*[\s,][^\d_]*[^\W\d_]\.?")


def is_name(text: str) -> bool:
    """Return whether a text reads like a person's name rather than a number or a handle."""
    return bool(_NAME.fullmatch(text.strip()))


def fields_of(head: Sequence[str]) -> dict[str, str]:
    """Return the head of each field that is known by its word; the first of two counts."""
    heads = _by_word(head)
    fields: dict[str, str] = {}
    for name, words in WORDS.items():
        known = (heads[word] for word in words if word in heads)
        if cell := next((each for each in known if each not in fields.values()), None):
            fields[name] = cell
    if "worker_id" in fields:
        fields.pop("worker_name", None)
    return fields


def _by_word(head: Sequence[str]) -> dict[str, str]:
    """Return the heads by their words without points: "clock no." is "clock no"."""
    return {" ".join(cell.replace(".", " ").split()): cell for cell in reversed(head)}


def days_of_words(head: Sequence[str]) -> dict[str, str]:
    """Return the head of each weekday, of the language that has most of them; none for under 5."""
    heads = _by_word(head)
    best: dict[str, str] = {}
    for names in DAY_NAMES:
        days = zip(DAY_NAMES[0], names, strict=True)
        here = {day: heads[name] for day, name in days if name in heads}
        if len(here) > len(best):
            best = here
    return best if len(best) >= 5 else {}
