"""Changes entered one by one, in words."""

from typing import TYPE_CHECKING

from ledger.cli.refusals.worded import worded
from ledger.cli.wording.endings import finished_lines
from ledger.cli.wording.loads import lines_of
from ledger.domain.counting import counted, grouped, hours_text

if TYPE_CHECKING:
    from ledger.changes.standing import ChangeNow
    from ledger.commands.changes import ChangeEntered

IN_WRITING = (
    "to put it in writing: `fairhours issue instruction-confirmation --job {job} {change} "
    "--out confirmation.pdf`"
)
INSTRUCTIONS = {
    "none": "not instructed",
    "awaiting": "instruction awaits confirmation",
    "instructed": "instructed",
    "stopped": "work stopped",
}


def entered_lines(done: "ChangeEntered") -> list[str]:
    """Return what is said of a change that was entered or moved on."""
    entered, now = done.entered, done.now
    lines = [line for each in entered.remarks for line in lines_of(each)]
    lines += [f"{entered.change}: attached {name}" for name in entered.attached]
    before = "already recorded: " if entered.as_before else ""
    lines.append(f"{before}{entered.change}, {now.title}: {standing_words(now)}")
    if done.unwritten:
        lines.append(IN_WRITING.format(job=entered.job, change=entered.change))
    return lines + finished_lines(done.finished)


def standing_words(now: "ChangeNow") -> str:
    """Return where a change stands in one sentence."""
    revision = f", revision {now.revision}" if now.revision is not None else ""
    phrases = [f"price {now.price_state.replace('_', ' ')}{revision}"]
    if now.hours_ms is not None:
        phrases.append(f"{hours_text(now.hours_ms)} h")
    if now.unpriced:
        phrases.append(worded(now.unpriced))
    elif now.amount is not None:
        phrases.append(f"{now.currency} {grouped(now.amount)}".strip())
    if now.price_state != "approved" or now.instruction != "none":
        phrases.append(INSTRUCTIONS[now.instruction])
    phrases += ["complete"] if now.complete else []
    asked, granted = now.days
    phrases += [f"{counted(asked, 'day', 'days')} requested"] if asked is not None else []
    phrases += [f"{counted(granted, 'day', 'days')} granted"] if granted is not None else []
    return "; ".join(phrases)
