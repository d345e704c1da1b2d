"""What a proposed layout leaves open, in words."""

from ledger.sheets.guessing import Unsure

WORDINGS = {
    "encoding": "encoding: the file is not UTF-8; windows-1252 is the usual other one",
    "delimiter": 'delimiter: "{likeliest}" or "{other}"',
    "columns_unknown": "columns kept as evidence only: {columns}",
    "worker_of_tab": (
        "{field}: no column or label tells it; taken from the tab (or the file): {tab}"
    ),
    "worker_of_tabs": "{field}: no column or label tells it; taken from the tabs: {tab}",
    "total": 'total: rows with "{text}" under {column} are checked, not read',
    "date_order": (
        'date_order: {day} may have the day or the month first; add date_order = "dmy" or "mdy"'
    ),
    "decimal_mark": "decimal_mark: both {comma} and {point} are there",
    "duration": 'duration: {text} may be hours and minutes; then add duration = "h.mm"',
    "blanks": "blanks: {marks} is taken for no hours",
    "column_missing": "{field}: no column looks like it; name one of {heads} in [columns]",
}
JOINTS = {"marks": " "}


def unsure_line(unsure: Unsure) -> str:
    """Return what is not sure."""
    fields = {
        name: value if isinstance(value, str) else JOINTS.get(name, ", ").join(value)
        for name, value in unsure.fields.items()
    }
    return WORDINGS[unsure.kind].format(**fields)
