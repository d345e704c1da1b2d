"""Changes raised from hours, in words."""

from typing import TYPE_CHECKING

from ledger.cli.wording.changes import entered_lines
from ledger.cli.wording.tags import entries_lines, measures_lines
from ledger.commands.changes import ChangeEntered
from ledger.domain.counting import counted

if TYPE_CHECKING:
    from ledger.commands.notices import ChangeRaised


def raised_lines(done: "ChangeRaised") -> list[str]:
    """Return what is said of a change that was raised from hours, and of the hours."""
    entered = entered_lines(ChangeEntered(done.entered, done.now, done.finished))
    lines = [entered[0], *entries_lines(done.done)]
    if done.in_part:
        entries = counted(done.in_part, "entry is", "entries are")
        lines.append(f"{entries} split over several places and left; `fairhours tag entries`")
    return [*lines, *measures_lines(done.measures), *entered[1:]]
