"""Words by which `guess layout` knows a column; a yard's own words go into its layout."""

from collections.abc import Sequence

WORDS: dict[str, tuple[str, ...]] = {
    "worker_id": (
        "worker_id", "worker", "worker no", "worker number", "employee", "employee no", "emp no",
        "clock no", "clock number", "hand", "number", "personnel no", "staff no", "works no", "who",
    ),
    "date": ("date", "day", "work date", "worked on", "on", "datum", "jour", "fecha"),
    "hours": ("hours", "hrs", "time", "duration", "hours worked", "stunden", "heures", "horas"),
    "start": ("start", "from", "in", "begin", "begun", "time in", "von", "beginn"),
    "finish": ("finish", "end", "until", "to", "out", "stop", "time out", "bis", "ende"),
    "break_minutes": ("break_minutes", "break", "breaks", "lunch", "pause"),
    "booking_code": (
        "booking_code", "booking code", "code", "work package", "package", "task", "task code",
        "what for", "for", "activity", "cost code",
    ),
    "job": ("job", "job no", "job number", "project", "contract", "vessel", "order"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments", "description", "text"),
    "pay_class": ("pay_class", "pay class", "class", "rate", "pay type"),
    "trade": ("trade", "craft"),
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
    ("mon", "tue", "wed", "thu", "fri", "sat", "sun"),
    ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"),
    ("mo", "tu", "we", "th", "fr", "sa", "su"),
    ("mo", "di", "mi", "do", "fr", "sa", "so"),
    ("montag", "dienstag", "mittwoch", "donnerstag", "freitag", "samstag", "sonntag"),
    ("lun", "mar", "mer", "jeu", "ven", "sam", "dim"),
    ("lundi", "mardi", "mercredi", "jeudi", "vendredi", "samedi", "dimanche"),
)


def fields_of(head: Sequence[str]) -> dict[str, str]:
    """Return the head of each field that is known by its word; the first of two counts."""
    found: dict[str, str] = {}
    for name, words in WORDS.items():
        for word in words:
            if word in head and word not in found.values():
                found[name] = word
                break
    return found


def days_of_words(head: Sequence[str]) -> dict[str, str]:
    """Return the head of each weekday, of the language that has most of them; none for under 5."""
    best: dict[str, str] = {}
    for names in DAY_NAMES:
        here = {day: name for day, name in zip(DAY_NAMES[0], names, strict=True) if name in head}
        if len(here) > len(best):
            best = here
    return best if len(best) >= 5 else {}
