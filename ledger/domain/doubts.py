"""Kinds of doubts: what each asks, how grave it is unless a setting says otherwise.

A doubt is evidence for a person to look at, never a verdict on anybody's working time: local law,
the contract and what was agreed with the worker hold.
"""

from ledger.domain.parsing import MS_PER_MINUTE, parse_hours, parse_whole

SEVERITIES = ("warn", "note", "off")

# Of each kind its severity when nothing is said, and the question it asks.
KINDS = {
    "daily_limit": (
        "warn",
        "a worker's day is over yard.daily_limit_hours, all sheets together",
    ),
    "clock_overlap": ("warn", "a worker's clock times overlap, over all sheets"),
    "hours_and_times": (
        "warn",
        "hours are not those from start to finish, by more than the break",
    ),
    "double_entry": ("warn", "the same time at the same place stands on two sheets"),
    "same_line_twice": ("note", "a line stands twice on one sheet"),
    "outside_job_dates": (
        "note",
        "time is booked outside a job's planned start and finish",
    ),
    "package_finished": ("warn", "time is booked to a package that was finished before"),
    "change_closed": ("warn", "time is booked to a change declined, withdrawn, stopped, complete"),
    "before_request": ("warn", "time is booked to a change before it was requested"),
    "before_opening": (
        "note",
        "time is booked to a package over doubts.early_days before its planned start",
    ),
    "trade_not_planned": (
        "note",
        "time is booked to a package or change whose estimate or price names no such trade",
    ),
    "note_names_change": ("warn", "the note names a change that the time is not booked to"),
    "tags_disagree": ("note", "the same note is tagged by hand to different places of a job"),
    "outside_crew_dates": (
        "warn",
        "time is booked before the worker's start date or after the end date",
    ),
    "future_date": ("warn", "a day was in the future when it was recorded"),
    "far_date": ("warn", "a day is far from the other days of its file"),
    "work_and_absence": ("warn", "a worker is absent and at work, more than a full day together"),
    "paid_leave": ("warn", "leave was paid of days that were worked, some on time to be claimed"),
    "day_off": ("note", "time is booked to a job on one of its days off"),
    "past_midnight": ("note", "clock times go past midnight"),
    "no_time": ("note", "a line says 0 hours"),
    "rework_cause": ("warn", "rework has a cause that the settings do not name"),
    "attendance": ("warn", "time booked and time on the clock of a day are apart"),
    "clock_rounding": ("note", "time booked departs from the clock by little, always to one side"),
}

# Kinds that ask whether time is booked to the right place.
ABOUT_TAGS = frozenset(
    {
        *("package_finished", "change_closed", "before_request", "before_opening"),
        *("rework_cause", "tags_disagree", "trade_not_planned", "note_names_change"),
    }
)

# Amounts that the questions use: the setting, what it is when nothing is said, what it is in.
AMOUNTS = {
    "yard.daily_limit_hours": ("16", "hours"),
    "doubts.full_day_hours": ("8", "hours"),
    "doubts.attendance_minutes": ("15", "minutes"),
    "doubts.rounding_minutes": ("15", "minutes"),
    "doubts.rounding_days": ("5", "days"),
    "doubts.far_days": ("60", "days"),
    "doubts.early_days": ("14", "days"),
}

SETTINGS = {f"doubts.{kind}": severity for kind, (severity, _) in KINDS.items()} | {
    name: default for name, (default, _) in AMOUNTS.items()
}


def setting_fault(name: str, value: str) -> str | None:
    """Return what is wrong with the value of a setting of doubts, None if nothing is."""
    if name in AMOUNTS:
        try:
            amount_of(name, value)
        except ValueError as error:
            return str(error)
        return None
    kind = name.removeprefix("doubts.")
    if kind in KINDS and name != kind and value not in SEVERITIES:
        return f'"{value}" is unknown; use one of {", ".join(SEVERITIES)}'
    return None


def amount_of(name: str, value: str) -> int:
    """Return an amount as whole milliseconds, or whole days.

    Raises: ValueError when it is none, or not above 0.
    """
    unit = AMOUNTS[name][1]
    amount = parse_hours(value) if unit == "hours" else parse_whole(value)
    if amount <= 0:
        raise ValueError(f'"{value}" is not above 0; write a positive number')
    return amount * MS_PER_MINUTE if unit == "minutes" else amount
