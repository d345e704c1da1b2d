"""An error in words: the sentence of its kind with its fields, and what helps as a command.

In a sentence `{name}` is a field and `{remedy}` the words of what helps. Several texts are joined
by commas, several refusals stand a line each, and of a refusal stands its own sentence. After a
colon: `hours` of milliseconds, `and`, `or` and `lines` for several texts, `seconds` of an instant,
`one|more` for a count with its noun, and `and_more` for how many there are beside the first.
"""

import string
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from ledger.cli.colour import marked, with_spans
from ledger.cli.refusals import (
    billing,
    checks,
    command,
    documents,
    inputs,
    invoices,
    reports,
    sheets,
    store,
    tables,
    work,
)
from ledger.cli.refusals.remedies import REMEDIES
from ledger.cli.wording.reasons import words_of
from ledger.domain.allocation import hours_of
from ledger.domain.counting import counted
from ledger.errors import FairhoursError, Faults, Remedy, messages
from ledger.outcomes import Reason

ROOMS = (
    command,
    reports,
    documents,
    billing,
    invoices,
    work,
    sheets,
    inputs,
    tables,
    store,
    checks,
)
WORDINGS: Mapping[str, str] = {kind: text for room in ROOMS for kind, text in room.WORDINGS.items()}
# What is said of these ends with the line that says that nothing was done.
ENDED_BY_REFUSAL = ("faults", "nothing_changed")
JOINTS = {"": ", ", "and": " and ", "or": " or ", "lines": "\n"}


def refusal(error: FairhoursError) -> str:
    """Return what is said of a command that is refused, the line that says so marked.

    Faults and what was wrong line by line stand before that line, all else after it.
    """
    text = worded(error)
    if error.kind not in ENDED_BY_REFUSAL:
        return marked(text, text.partition("\n")[0])
    return with_spans(text, ((text.rfind("\n") + 1, len(text)),))


def worded(error: FairhoursError) -> str:
    """Return what is said of an error to a user."""
    if isinstance(error, Faults) and not any(fault.file for fault in error.faults):
        return "\n".join([*messages(error.faults, helping), "nothing was written"])
    if isinstance(error, Faults):
        count = counted(len(error.faults), "fault", "faults")
        return "\n".join([*messages(error.faults, helping), f"{count}; nothing was loaded"])
    fields = dict(error.fields)
    if error.remedy:
        fields["remedy"] = helping(error.remedy)
    return _FORMATTER.vformat(WORDINGS[error.kind], (), fields)


def helping(remedy: Remedy) -> str:
    """Return the words of what helps."""
    return _FORMATTER.vformat(REMEDIES[remedy.kind], (), remedy.arguments)


class _Formatter(string.Formatter):
    """Puts fields into a sentence."""

    def format_field(self, value: Any, format_spec: str) -> Any:
        if isinstance(value, FairhoursError):
            return worded(value)
        if isinstance(value, Reason):
            return words_of(value)
        if isinstance(value, tuple):
            return _joined(value, format_spec)
        if isinstance(value, datetime) and format_spec in {"", "seconds"}:
            sep, spec = (" ", "seconds") if format_spec else ("T", "auto")
            return value.isoformat(sep=sep, timespec=spec)
        if format_spec == "hours":
            return str(hours_of(value))
        if format_spec == "and_more":
            return f" and {value - 1} more" if value > 1 else ""
        if "|" in format_spec:
            one, more = format_spec.split("|")
            return counted(value, one, more)
        return super().format_field(value, format_spec)


def _joined(values: tuple[Any, ...], joint: str) -> str:
    refusals = any(isinstance(each, FairhoursError) for each in values)
    texts = [worded(each) if isinstance(each, FairhoursError) else each for each in values]
    return JOINTS["lines" if refusals else joint].join(texts)


_FORMATTER = _Formatter()
