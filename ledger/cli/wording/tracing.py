"""Traces in words: why hours are booked where they are, and the figures that they are in."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from ledger.domain.allocation import to_places
from ledger.domain.overrun import (
    ASKED_BY_TITLES,
    BORNE_BY_TITLES,
    STEP_TITLES,
    shown_marks,
    shown_steps,
)
from ledger.domain.parsing import MS_PER_HOUR
from ledger.performance.tracing import FiguresOfEntry, FigureTraced

TITLES = {"step": STEP_TITLES, "asked_by": ASKED_BY_TITLES, "borne_by": BORNE_BY_TITLES}
BY = {"code": "by its code", "hand": "by hand", "rule": "by rule"}


def why(entry: Mapping[str, Any]) -> str:
    """Return why an entry's hours are booked where they are, as it was stored."""
    by = BY.get(entry["reason"], str(entry["reason"]).replace("_", " "))
    named = f"{by} {entry['rule']}" if entry["rule"] else by
    return f"{named}: {entry['tag_reason']}" if entry["tag_reason"] else named


def figure_title(traced: FigureTraced) -> str:
    """Return what a figure is called for people."""
    return TITLES[traced.group][traced.name] if traced.group in TITLES else traced.name


def rounded_figure(traced: FigureTraced) -> Decimal:
    """Return a figure in hours as `overrun` shows it in its table."""
    whole = traced.whole
    steps = shown_steps(whole.steps.amounts, MS_PER_HOUR)
    if traced.group == "step":
        return steps[traced.name]
    if traced.group in TITLES:
        marks = whole.asked_by if traced.group == "asked_by" else whole.borne_by
        return shown_marks(marks, steps, MS_PER_HOUR)[traced.name]
    return to_places(traced.ms, 2, MS_PER_HOUR)


def figure_words(each: FiguresOfEntry) -> dict[str, str | None]:
    """Return the figures of an entry's time in words; why it is in none."""
    words: dict[str, str | None] = {
        "booked_to": place_words(each.place, each.cause, each.rework),
        "daywork_sheets": ", ".join(each.daywork_sheets) or None,
    }
    if each.figures is None:
        return words | {"step": _why_none(each), "asked_by": None, "borne_by": None}
    ac = "outside AC" if each.not_approved else "in AC"
    return words | {
        "step": f"{STEP_TITLES[each.figures.step]} ({ac})",
        "asked_by": ASKED_BY_TITLES[each.figures.asked_by],
        "borne_by": BORNE_BY_TITLES[each.figures.borne_by],
    }


def place_words(place: str, cause: str | None, rework: str | None) -> str:
    """Return a place with its cause, and the cause for which work was done again there."""
    booked = " ".join(filter(None, (place, cause)))
    return f"{booked}, rework {rework}" if rework else booked


def _why_none(each: FiguresOfEntry) -> str:
    if each.job is None:
        return "in no job"
    if each.closed_to is not None:
        return f"none: recorded after the period to {each.closed_to} was closed"
    return "none yet: worked after that day"
