"""Documents: their kinds, and the numbers that follow each other without a gap in a series."""

import re
from dataclasses import dataclass
from datetime import date

# What can be issued of a change, and of a job as a whole, in the order it is listed.
OF_A_CHANGE = (
    "quotation",
    "variation_order",
    "instruction_confirmation",
    "decision_request",
    "notice",
    "daywork_sheet",
)
OF_A_JOB = ("claim", "statement", "final_account", "invoice", "credit_note")
KINDS = (*OF_A_CHANGE, *OF_A_JOB)
KIND_WORDS = {
    "quotation": "quotation",
    "variation_order": "variation order",
    "instruction_confirmation": "confirmation of verbal instruction",
    "decision_request": "request for a decision",
    "notice": "notice",
    "daywork_sheet": "daywork sheet",
    "claim": "progress claim",
    "statement": "statement",
    "final_account": "final account",
    "invoice": "invoice",
    "credit_note": "credit note",
}
# Of these the day is typed, and never before that of the last of their series.
INVOICES = ("invoice", "credit_note")
# The number of each kind where the settings say nothing: a series for each job and kind, of
# invoices and credit notes one for the whole yard.
FORMS = {
    "quotation": "{job}-Q-{number:3}",
    "variation_order": "{job}-VO-{number:3}",
    "instruction_confirmation": "{job}-CI-{number:3}",
    "decision_request": "{job}-RD-{number:3}",
    "notice": "{job}-N-{number:3}",
    "daywork_sheet": "{job}-DS-{number:3}",
    "claim": "{job}-C-{number:3}",
    "statement": "{job}-S-{number:3}",
    "final_account": "{job}-FA-{number:3}",
    "invoice": "INV-{number:4}",
    "credit_note": "CN-{number:4}",
}
# How long what was issued is kept at the least, in years, where the settings say nothing.
RETAINED_YEARS = 10
_FORM = re.compile(r"((?:\{job\}|[A-Za-z0-9._/-])*[A-Za-z._/-])\{number(?::([1-9]))?\}")


@dataclass(frozen=True)
class NumberSeries:
    """What stands before the number, with the job's code in it, and how wide the number is."""

    prefix: str
    width: int = 1

    def name(self, number: int) -> str:
        """Return the number as it is printed."""
        return f"{self.prefix}{number:0{self.width}}"


def form_fault(form: str) -> str | None:
    """Return what is wrong with the form of a number, None when nothing is.

    The number stands last, and no digit before it: so no two numbers are written alike.
    """
    if _FORM.fullmatch(form):
        return None
    return (
        f'"{form}" is not the form of a number; write a prefix that ends in a letter, point, '
        "hyphen or stroke, then the number, as {job}-Q-{number:3}"
    )


def series_of(form: str, job: str) -> NumberSeries:
    """Return the series of a form for a job. Raises: ValueError when it is none."""
    match = _FORM.fullmatch(form)
    if not match:
        raise ValueError(form_fault(form))
    return NumberSeries(match[1].replace("{job}", job), int(match[2] or 1))


def retained_until(issued_on: date, years: int) -> date:
    """Return the last day on which a document must be kept: the same day so many years on."""
    last = min(issued_on.year + years, date.max.year)
    try:
        return issued_on.replace(year=last)
    except ValueError:  # 29 February
        return date(last, 2, 28)
