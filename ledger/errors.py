"""The errors that reach a user, as facts: what is wrong, with which values, and what helps.

FairhoursError
├── Refused            a rule or the data says no; exit code 1
│   └── Faults         all the faults of a file at once
├── BookError          the book cannot be opened, read or written; exit code 1
│   ├── BookHeld       another process holds it
│   └── MemoryShort    the work needs more memory than it may take
└── WrongUsage         the words of a command do not fit; exit code 2

The sentence is made where it is printed: `ledger/cli/refusals`.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Union

from ledger.outcomes import Reason

# What a field may be: a plain value, several of a kind, or the refusal or reason that lies behind.
Field = Union[
    str | int | float | Decimal | date | Path | None,
    tuple[str, ...],
    "FairhoursError",
    tuple["Refused", ...],
    Reason,
]


class Remedy:
    """What helps, as data: a command or an option by a word of its own, with its arguments."""

    def __init__(self, kind: str, /, **arguments: str | int | Path) -> None:
        self.kind = kind
        self.arguments: Mapping[str, str | int | Path] = arguments

    def __str__(self) -> str:
        return _facts(self.kind, self.arguments)


class FairhoursError(Exception):
    """Anything that is said to a user in one message: its kind, its fields and what helps."""

    exit_code = 1

    def __init__(self, kind: str, /, *, remedy: Remedy | None = None, **fields: Field) -> None:
        super().__init__(kind)
        self.kind = kind
        self.fields: Mapping[str, Field] = fields
        self.remedy = remedy
        self.sentence = ""

    def __str__(self) -> str:
        """Return kind, fields and remedy, for a traceback; what a user reads is worded by cli.

        Who reads a traceback as a user, as those of frames do, has its `sentence` set.
        """
        if self.sentence:
            return self.sentence
        helps = f"; remedy {self.remedy}" if self.remedy else ""
        return f"{_facts(self.kind, self.fields)}{helps}"


def _facts(kind: str, fields: Mapping[str, object]) -> str:
    """Return a kind with its fields on one line, a refusal or a path among them as text."""
    listed = ", ".join(f"{name}={_field_text(value)}" for name, value in fields.items())
    return f"{kind}({listed})" if listed else kind


def _field_text(value: object) -> str:
    if isinstance(value, tuple) and any(isinstance(each, FairhoursError) for each in value):
        return f"({', '.join(map(_field_text, value))})"
    return str(value) if isinstance(value, FairhoursError | date | Path) else repr(value)


class Refused(FairhoursError):
    """A rule or the data says no; nothing was changed."""


class BookError(FairhoursError):
    """The book cannot be opened, read or written."""


class BookHeld(BookError):
    """Another process holds the book."""


class MemoryShort(BookError):
    """The work needs more memory than it may take."""


class WrongUsage(FairhoursError):
    """The words of a command do not fit together."""

    exit_code = 2


@dataclass(frozen=True)
class Fault:
    """One fault of a file: where, what, and what to do.

    Where is the file's line, or the place within a workbook: ", Crew!C7" or ", Crew row 7".
    `text` is what is wrong, as the message quotes it; a command that helps is `remedy`.
    """

    file: str
    line: int
    what: str
    place: str = ""
    text: str = ""
    remedy: Remedy | None = None

    def __str__(self) -> str:
        return _message([self])

    @property
    def kind(self) -> tuple[str, str, str]:
        """What faults of one kind share: the file, the column, and what is wrong."""
        quoted = f'"{self.text}"'
        return self.file, self.before, self.what.replace(quoted, "") if self.text else self.what

    @property
    def before(self) -> str:
        """The place as far as the number of its line."""
        return self.place.removesuffix(str(self.line)) or ":"


class Faults(Refused):
    """All the faults of a file at once; none of it was loaded."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__("faults")
        self.faults = faults

    def __str__(self) -> str:
        return "\n".join(["faults:", *messages(self.faults)])


VALUES_SHOWN = 3


def messages(faults: list[Fault], worded: Callable[[Remedy], str] = str) -> list[str]:
    """Return what is said of faults: one message for each kind, in the order they come.

    `worded` gives the words of a remedy.
    """
    kinds: dict[tuple[str, str, str], list[Fault]] = {}
    for fault in faults:
        kinds.setdefault(fault.kind, []).append(fault)
    return [_message(alike, worded) for alike in kinds.values()]


def _message(faults: list[Fault], worded: Callable[[Remedy], str] = str) -> str:
    """Return what is said of the faults of one kind: all their lines, and the first values."""
    first = faults[0]
    if not first.file:  # Typed, not read from a file.
        return first.what + (f"; {worded(first.remedy)}" if first.remedy else "")
    *sheet, column = first.before.rpartition("!")
    before, cell = ("".join(sheet), column) if sheet[1] else (first.before, "")
    lines = sorted({fault.line for fault in faults})
    if before.endswith(" row ") and len(lines) > 1:
        before = before.replace(" row ", " rows ")
    others = list(dict.fromkeys(fault.text for fault in faults if fault.text != first.text))
    quoted = [f'"{text}"' for text in others[:VALUES_SHOWN]]
    more = f" and {len(others) - VALUES_SHOWN} more" if len(others) > VALUES_SHOWN else ""
    likewise = f" (likewise {', '.join(quoted)}{more})" if others else ""
    helps = f"; {worded(first.remedy)}" if first.remedy else ""
    return f"{first.file}{before}{ranges(lines, cell)}: {first.what}{helps}{likewise}"


def ranges(lines: Sequence[int], column: str = "") -> str:
    """Return ascending numbers as text, those that follow each other as a range: 3-7, 9."""
    ends: list[list[int]] = []
    for line in lines:
        if ends and line == ends[-1][1] + 1:
            ends[-1][1] = line
        else:
            ends.append([line, line])
    mark = f":{column}" if column else "-"
    return ", ".join(
        f"{column}{first}" if first == last else f"{column}{first}{mark}{last}"
        for first, last in ends
    )
