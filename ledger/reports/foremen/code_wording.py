"""What the list of booking codes says in words."""

from decimal import Decimal

from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.foremen.code_list import Cause, CodeList, CodeRow
from ledger.reports.text import NAME_LENGTH, cut

HOW_TO_READ = (
    "Each hour goes to the code of the work that was done, on the day it was done.",
    "Hours left are a budget, not a limit. When they are used up, or below zero, the work still "
    "takes its own code: tell the office, never move hours to another code.",
    "Work requested by the owner or instructed as a change takes the change's code, even at the "
    "same bench as the package.",
    "Daywork is paid by the sheets: write in the remark what was done.",
    "Waiting, weather and the like take the codes for non-productive time, from the minute work "
    "stopped.",
    "No code fits? Write in the remark what was done. The office finds the code; a wrong one "
    "hides the hours.",
)
CAUSE_GROUPS = {
    "non_productive": "Time lost on this job",
    "overhead": "The yard's own work, on no job",
    "absence": "Away from work",
}
EMPTY = {
    "packages": "No package is open for hours.",
    "changes": "No approved or instructed change is open for hours.",
    "causes": "The yard's settings have no codes for time lost, for its own work or for absence.",
    "closed": "All codes of this job take hours.",
}
CLOSED = {
    "finished": "Finished",
    "contingency": "Contingency, takes no hours",
    "planning": "Not planned in detail yet",
    "complete": "Complete",
    "stopped": "Stopped",
    "takes_out": "Omission only",
    "withdrawn": "Withdrawn, not instructed",
    "declined": "Declined, not instructed",
    "disputed": "Price disputed, not instructed",
    "counter_offer": "Owner's counter-offer, not instructed",
    "lapsed": "Price lapsed, not instructed",
    "requested": "Requested, not instructed",
    "priced": "Priced, not instructed",
    "submitted": "Awaits the owner's decision, not instructed",
}
BASES = {"daywork": "daywork", "no_charge": "no charge"}


def headline(view: CodeList) -> str:
    """Return in one sentence what the list is for."""
    count = len(view.open_packages) + len(view.open_changes)
    if not count:
        return "No code of this job takes hours now."
    codes = "this code takes" if count == 1 else f"these {count} codes take"
    return (
        f"On this job {codes} hours now. Write the code of the work you did; the hours left are "
        f"those after all sheets up to {written(view.status_date)}."
    )


def standing_words(row: CodeRow) -> str:
    """Return where a change stands that may be worked on."""
    basis, since = BASES.get(row.change_basis, ""), written(row.since) if row.since else ""
    if row.standing == "approved":
        return ", ".join(filter(None, (f"Approved {since}".strip(), basis)))
    return ", ".join(filter(None, (f"Instructed {since}".strip(), "not approved", basis)))


def closed_words(row: CodeRow) -> str:
    """Return why a package or change takes no hours."""
    words = CLOSED[row.standing]
    return f"{words} {written(row.since)}" if row.since and row.standing == "stopped" else words


def over_words(left: Decimal | None) -> str:
    return f"Over by {number_text(-left)} h" if left is not None and left < 0 else ""


def cause_words(cause: Cause) -> str:
    """Return a cause in plain words: "waiting_owner" is "waiting owner"."""
    return cut(cause.cause.replace("_", " "), NAME_LENGTH)
