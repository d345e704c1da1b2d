"""What pages say of commands, in the words of whoever hands them out; without any they say none."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True)
class Remade:
    """What makes a page again: the report, the batch it was known at, and what it is of.

    `day` is the status date, of sheets the first day of their week; `worker` is of these alone,
    `change`, `columns`, `reader` and `stretches` of evidence. `since` is the status date of the
    statement that this one is compared with, and `since_known_at` the batch it was known at.
    `claim` is the claim that daywork stands behind; `first` is the first day of days asked for.
    """

    report: str
    known_at: int
    day: date | None
    job: str = ""
    worker: str = ""
    change: str = ""
    columns: tuple[str, ...] = ()
    reader: str = ""
    stretches: tuple[str, ...] = ()
    since: date | None = None
    since_known_at: int = 0
    claim: int = 0
    first: date | None = None


@dataclass(frozen=True)
class Opens:
    """A command that shows what a figure is made of: its name, its job and the days asked for."""

    command: str
    job: str = ""
    day: date | None = None
    first: date | None = None
    last: date | None = None


@dataclass(frozen=True)
class Commands:
    """The words of commands: of the one that makes a page again, with the options that it may need
    for paper, templates and pdf_variant; of the one that loads what was filled in; of those that
    open figures.
    """

    makes: Callable[[Remade], str] = lambda _: ""
    options: Mapping[str, str] = field(default_factory=dict)
    load: Callable[[str], str] = lambda layout: ""
    opens: Callable[[Opens], str] = lambda _: ""


NONE = Commands()
