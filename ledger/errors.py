"""The errors that reach a user.

FairhoursError
├── Refused            a rule or the data says no; exit code 1
│   └── Faults         all the faults of a file at once
├── BookError          the book cannot be opened, read or written; exit code 1
│   ├── BookHeld       another process holds it
│   └── MemoryShort    the work needs more memory than it may take
└── WrongUsage         the words of a command do not fit; exit code 2
"""

from dataclasses import dataclass


class FairhoursError(Exception):
    """Anything that is said to a user in one message."""

    exit_code = 1


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
    `given` is the text that is wrong, as the message quotes it.
    """

    file: str
    line: int
    what: str
    place: str = ""
    given: str = ""

    def __str__(self) -> str:
        return _message([self])

    @property
    def kind(self) -> tuple[str, str, str]:
        """What faults of one kind share: the file, the column, and what is wrong."""
        quoted = f'"{self.given}"'
        return self.file, self.before, self.what.replace(quoted, "") if self.given else self.what

    @property
    def before(self) -> str:
        """The place as far as the number of its line."""
        return self.place.removesuffix(str(self.line)) or ":"


class Faults(Refused):
    """All the faults of a file at once; none of it was loaded."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = faults
        count = f"{len(faults)} faults" if len(faults) > 1 else "1 fault"
        super().__init__("\n".join([*messages(faults), f"{count}; nothing was loaded"]))


VALUES_SHOWN = 3


def messages(faults: list[Fault]) -> list[str]:
    """Return what is said of faults: one message for each kind, in the order they come."""
    kinds: dict[tuple[str, str, str], list[Fault]] = {}
    for fault in faults:
        kinds.setdefault(fault.kind, []).append(fault)
    return [_message(alike) for alike in kinds.values()]


def _message(faults: list[Fault]) -> str:
    """Return what is said of the faults of one kind: all their lines, and the first values."""
    first = faults[0]
    *sheet, column = first.before.rpartition("!")
    before, cell = ("".join(sheet), column) if sheet[1] else (first.before, "")
    lines = sorted({fault.line for fault in faults})
    if before.endswith(" row ") and len(lines) > 1:
        before = before.replace(" row ", " rows ")
    others = list(dict.fromkeys(fault.given for fault in faults if fault.given != first.given))
    shown = [f'"{text}"' for text in others[:VALUES_SHOWN]]
    more = f" and {len(others) - VALUES_SHOWN} more" if len(others) > VALUES_SHOWN else ""
    likewise = f" (likewise {', '.join(shown)}{more})" if others else ""
    return f"{first.file}{before}{_ranges(lines, cell)}: {first.what}{likewise}"


def _ranges(lines: list[int], column: str) -> str:
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
