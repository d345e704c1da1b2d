"""The sentences that the owner's statement begins with: its sums, and how its hours run."""

from decimal import Decimal

from ledger.language import _, ngettext
from ledger.reports.figures import number_text

MORE_HOURS = "This job is expected to take {hours} hours more than estimated"
FEWER_HOURS = "This job is expected to take {hours} hours fewer than estimated"


def hours_sentence(more: Decimal, asked: Decimal, split: tuple[Decimal, Decimal, Decimal]) -> str:
    """Return the headline: hours above the estimate, asked for, paid, not charged, undecided.

    `split` is paid, not charged and undecided; they add to `more`. All are hours to two decimals.
    """
    if not any((more, asked, *split)):
        return f"{more_words(more)}."
    clauses = [asked_words(asked, more), *filter(None, split_words(*split))]
    listed = _("{clauses} and {last}").format(clauses=", ".join(clauses[:-1]), last=clauses[-1])
    return f"{more_words(more)}: {listed}."


def more_words(more: Decimal) -> str:
    if not more:
        return _("This job is expected to take the hours estimated")
    return _(MORE_HOURS if more > 0 else FEWER_HOURS).format(hours=number_text(abs(more)))


def asked_words(asked: Decimal, more: Decimal) -> str:
    """Return what arises from the owner's requests; time lost on their account is not among it."""
    if not asked:
        return _("none arise from your requests")
    if asked < 0:
        return _("your requests take out {hours}").format(hours=number_text(-asked))
    of_them = _("{hours} of them arise from your requests")
    words = of_them if asked <= more else _("{hours} arise from your requests")
    return words.format(hours=number_text(asked))


def split_words(paid: Decimal, free: Decimal, undecided: Decimal) -> tuple[str, str, str]:
    """Return a clause for each part; undecided says nothing when it is nil."""
    pay = _("{hours} come off what you pay for") if paid < 0 else _("you pay for {hours}")
    keep = _("{hours} are not charged")
    if free < 0:
        keep = _("{hours} saved by the yard do not change the price")
    settle = _("{hours} are still to be decided")
    if undecided < 0:
        settle = _("{hours} to come off are still to be decided")
    return (
        pay.format(hours=number_text(abs(paid))) if paid else _("you pay for none"),
        keep.format(hours=number_text(abs(free))) if free else _("none are not charged"),
        settle.format(hours=number_text(abs(undecided))) if undecided else "",
    )


def sum_sentence(adjusted: str, contract: str, waiting: str) -> str:
    """Return the headline of a statement that does not show how the hours run."""
    if adjusted == contract:
        return _("The contract sum stands at {contract}; {waiting}.").format(
            contract=contract, waiting=waiting
        )
    return _("The contract sum of {contract} is now {adjusted}; {waiting}.").format(
        contract=contract, adjusted=adjusted, waiting=waiting
    )


def waiting_words(count: int, amount: str) -> str:
    """Return how many requests await a decision, and their sum."""
    if not count:
        return _("no request awaits your decision")
    waiting = ngettext(
        "{count} request awaits your decision, {amount} in total",
        "{count} requests await your decision, {amount} in total",
        count,
    )
    return waiting.format(count=count, amount=amount)
