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
    """

    file: str
    line: int
    what: str
    place: str = ""

    def __str__(self) -> str:
        return f"{self.file}{self.place or f':{self.line}'}: {self.what}"


class Faults(Refused):
    """All the faults of a file at once; none of it was loaded."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = faults
        count = f"{len(faults)} faults" if len(faults) > 1 else "1 fault"
        super().__init__("\n".join([*map(str, faults), f"{count}; nothing was loaded"]))
