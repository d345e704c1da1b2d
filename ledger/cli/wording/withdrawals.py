"""Facts that were withdrawn, in words."""

from typing import TYPE_CHECKING

from ledger.cli.wording.endings import finished_lines
from ledger.cli.wording.loads import lines_of
from ledger.commands.withdrawals import Withdrawn
from ledger.inputs.withdrawing import BaselineMoved

if TYPE_CHECKING:
    from ledger.store.rerun import PlacedFact

STANDING = {
    "withdrawn": "{} withdrawn ({})",
    "did_not_count": "{} withdrawn ({}); it no longer counted",
    "takes_its_place": "{} takes its place ({})",
    "counts_again": "{} counts again ({})",
}


def withdrawn_lines(withdrawn: Withdrawn) -> list[str]:
    """Return what is said of facts that were withdrawn, and of what followed."""
    done = withdrawn.done
    lines = [
        STANDING[each.standing].format(each.fact.named, described(each.fact)) for each in done.facts
    ]
    if done.adds_nothing:
        lines.append(f"{done.adds_nothing}: adds nothing that counts now")
    lines += map(_moved, done.baselines)
    lines += [line for each in done.short for line in lines_of(each)]
    return lines + finished_lines(withdrawn.finished)


def described(fact: "PlacedFact") -> str:
    """Return a fact by its columns that are filled."""
    cells = (f"{name} {value}" for name, value in fact.values.items() if value is not None)
    return ", ".join(cells)


def _moved(baseline: BaselineMoved) -> str:
    named = ", ".join(
        source if source == "freeze" else f"{source} {name}" for source, name in baseline.sources
    )
    return f"job {baseline.job}: baseline recalculated: {named.replace('_', ' ')}"
