"""Words by which `guess layout` knows the columns of small tables, as yards write their heads.

A word stands before the ones that are less sure. A column without words is known by its own name.
"""

import re
from collections.abc import Mapping

from ledger.tables.guess_words import WORDS as OF_SHEETS

_FROM = ("from", "since", "start", "start date", "begin", "von", "ab", "seit", "beginn")
_FIRST, _LAST = ("first day", "away from"), ("last day", "away until", "away to")
_TO = ("to", "until", "till", "end", "end date", "finish", "bis", "ende")
_PACKAGE = (
    "work package", "package", "package no", "wp", "wp no", "task code", "task no", "task",
    "item no", "item", "pos", "position", "job code", "code", "no", "nr", "ref",
)  # fmt: skip
_HOURS = (
    "hours", "hrs", "man hours", "manhours", "mh", "h", "time", "stunden", "std", "heures",
    "hours paid", "paid hours", "hours worked", "hours charged",
)  # fmt: skip
_WORKER = tuple(word for word in OF_SHEETS["worker_id"] if word not in {"worker", "who", "hand"})

COLUMN_WORDS: Mapping[str, tuple[str, ...]] = {
    "worker_id": (
        *_WORKER, "nr", "id", "staff number", "pers no", "pers nr", "personalnummer", "worker",
        "hand", "who",
    ),
    "name": (
        "name", "full name", "worker name", "employee name", "crew member", "first and last name",
        "worker", "employee", "mitarbeiter", "nom", "surname", "last name", "surname, first name",
        "last name, first name", "name, first name", "first name, surname", "first name last name",
    ),
    "trade": ("trade", "craft", "occupation", "skill", "department", "gang", "gewerk", "métier"),
    "grade": ("grade", "level", "rank", "class", "rang", "stufe"),
    "active_from": (
        "active from", "employed from", "start date", "started", "joined", "hired", "since",
        "entry date", "entry", "eintritt", *_FROM,
    ),
    "active_to": (
        "active to", "employed to", "employed until", "left", "leaving date", "leaver", "austritt",
        *_TO,
    ),
    "employment": ("employment", "employed as", "status", "engagement", "contract"),
    "supplier": ("supplier", "agency", "firm", "company", "hired from", "labour supplier"),
    "contract_hours_per_week": (
        "contract hours", "contract h/week", "contract hours/week", "hours per week", "hours/week",
        "h/week", "weekly hours", "std/woche", "stunden/woche", "wochenstunden",
    ),
    "effective_from": (
        "effective from", "valid from", "effective", "as of", "as from", "gültig ab", *_FROM,
    ),
    "cost_per_hour": (
        "cost per hour", "cost rate", "cost/h", "hourly cost", "cost", "rate per hour", "rate/h",
        "rate", "per hour", "stundensatz", "satz",
    ),
    "charge_per_hour": (
        "charge per hour", "charge rate", "charge/h", "charge", "charged", "selling rate",
        "rate to owner", "rate per hour", "rate",
    ),
    "work_package": _PACKAGE,
    "title": (
        "title", "description", "work", "what", "name", "scope", "bezeichnung", "arbeit",
        "leistung", "désignation",
    ),
    "control_account": (
        "control account", "account", "section", "group", "system", "part", "area", "bereich",
    ),
    "budget_hours": (
        "budget hours", "budget", "estimated hours", "estimate", "est hours", "est hrs", "est",
        "planned hours", *_HOURS,
    ),
    "planned_start": ("planned start", *_FROM),
    "planned_finish": ("planned finish", "planned end", "due", "completion", *_TO),
    "technique": ("technique", "method", "measured by", "measure"),
    "quantity": ("quantity", "qty", "amount of work", "menge"),
    "unit": ("unit", "uom", "einheit"),
    "cost_rate": ("cost rate",),
    "milestone": ("milestone", "event", "step"),
    "weight": ("weight", "weighting", "points", "share"),
    "planned_date": ("planned date", "planned", "due", "date"),
    "date": ("date", "day", "as at", "as of", "measured on", "status date", "datum", "on"),
    "hours": _HOURS,
    "percent": (
        "percent", "% complete", "percent complete", "complete %", "% done", "done %", "complete",
        "progress %", "progress", "%",
    ),
    "quantity_done": ("quantity done", "qty done", "done to date", "done"),
    "started": ("started", "actual start"),
    "finished": ("finished", "actual finish", "completed on"),
    "estimate_to_complete_hours": (
        "hours to go", "to go", "hours remaining", "remaining hours", "remaining",
        "estimate to complete", "to complete",
    ),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments", "bemerkung"),
    "change": ("change", "change no", "change request", "cr", "cr no", "no"),
    "requested_by": ("requested by", "asked by", "from"),
    "requested_on": ("requested on", "asked on", "date"),
    "change_basis": ("basis", "change basis", "priced as"),
    "amount": ("amount", "sum", "value", "betrag"),
    "clock_in": ("clock in", "in", "time in", "arrived", "kommt"),
    "clock_out": ("clock out", "out", "time out", "gone", "geht"),
    "break_minutes": OF_SHEETS["break_minutes"],
    "from": (*_FIRST, *_FROM),
    "to": (*_LAST, *_TO),
    "cause": ("cause", "reason"),
    "period_start": ("period start", "period from", "pay period from", *_FROM),
    "period_end": ("period end", "period to", "pay period to", "period ending", *_TO),
    "pay_class": ("pay class", "pay type", "class", "type of pay", "kind", "type", "lohnart"),
    "gross": ("gross", "gross pay", "gross wage", "brutto", "pay", "amount"),
    "rate": ("rate", "rate per hour"),
    "invoice": ("invoice", "invoice no", "bill"),
}  # fmt: skip
# What heads laid across a table say, and what stands under them.
ACROSS: Mapping[str, tuple[str, str]] = {
    "estimate": ("trade", "budget_hours"),
    "rates": ("trade", "cost_per_hour"),
    "charge-rates": ("trade", "charge_per_hour"),
    "plan": ("date", "hours"),
    "progress": ("date", "percent"),
    "payroll": ("pay_class", "hours"),
}
# What the titles between rows, or the names of tabs, may say, the likeliest first.
OF_TITLES = ("control_account", "trade", "supplier", "pay_class", "work_package")
# Words of a title, or of a tab's or file's name, that tell which table stands there.
OF_NAMES: Mapping[str, tuple[str, ...]] = {
    "crew": ("crew", "crew list", "people", "hands", "employees", "personnel"),
    "rates": ("rates", "cost rates"),
    "charge-rates": ("charge rates",),
    "estimate": ("estimate", "estimated", "budget", "tender"),
    "progress": ("progress",),
    "leave": ("leave", "holidays", "holiday", "absences"),
    "payroll": ("payroll", "wages", "pay", "payslips", "lohnlauf", "löhne"),
    "supplier-hours": ("agency", "supplier", "hired labour"),
}
# Heads that a table of people has none of: hours beside a worker are paid, charged or worked.
HOURS = _HOURS
WITHOUT_HOURS = ("crew", "leave")
_BRACKETS = re.compile(r"\([^)]*\)|\[[^\]]*\]")
_CURRENCY = re.compile(r" (?:€|\$|£|eur|usd|gbp|chf|nok|sek|dkk|pln)$")


def words_of(column: str) -> tuple[str, ...]:
    """Return the words of a column, its own name first."""
    return (column.replace("_", " "), *COLUMN_WORDS.get(column, ()))


def plain(head: str) -> str:
    """Return a head as the words have it: in small letters, without points, units, currencies."""
    bare = _BRACKETS.sub(" ", head.lower()).replace(".", " ").replace("_", " ")
    return _CURRENCY.sub("", " ".join(bare.split()).rstrip(" :"))
