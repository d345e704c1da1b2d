"""Aliases of workers, in words."""

from ledger.cli.wording.endings import finished_lines
from ledger.commands.worker_aliases import AliasesKept
from ledger.domain.counting import counted


def confirmed_lines(kept: AliasesKept) -> list[str]:
    """Return what is said of aliases that were confirmed, and of the lines that followed."""
    done = kept.done
    lines = []
    if done.new:
        lines.append(f"{counted(done.new, 'alias', 'aliases')} of {done.worker_id} confirmed")
    if done.as_before:
        names = counted(done.as_before, "name", "names")
        lines.append(f"{names} stood for {done.worker_id} already")
    return lines + finished_lines(kept.finished)
