"""A week for machines: each figure with what it was a week before and what opens it."""

from ledger.commands.as_json import Json, known_at
from ledger.commands.pages import WeekKnown
from ledger.reports.yard.week import WeekRemark


def week_json(known: WeekKnown) -> Json:
    """Return a week: hours of 2 places, indices of 3, as on its page."""
    week = known.week
    return {
        "from": week.first,
        "to": week.last,
        "jobs": [
            {
                "job": each.job,
                "title": each.title,
                "currency": each.currency,
                "lines": [_line(line) for line in each.lines],
            }
            for each in week.jobs
        ],
        "yard": [_line(line) for line in week.of_yard],
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


def _line(line: WeekRemark) -> Json:
    return {
        "what": line.what,
        "figures": [
            {"name": each.name, "value": each.value, "before": each.before, "at": each.at}
            for each in line.figures
        ],
        "names": list(line.names),
        "opened_by": line.opened_by,
    }
