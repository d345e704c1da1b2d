"""What the owner's statement says in words: titles, labels, and sentences made from figures."""

from decimal import Decimal

from ledger.reports.figures import number_text
from ledger.reports.owner_variations import ChangeRow

TITLE = "Statement of variations and open requests"
REHEARSAL = "Rehearsal: made from a trial record, not to be relied on"

HOURS_LABELS = {
    "original_budget": "Original estimate",
    "approved_variations": "Approved variations",
    "omissions": "Omissions",
    "adjusted_estimate": "Adjusted estimate",
    "over_under_on_variations": "Over or under on variations",
    "unapproved_changes": "Requests not approved",
    "rework": "Rework",
    "over_under_on_original_work": "Over or under on the original work",
    "non_productive": "Time lost",
    "untagged": "Not yet assigned",
    "anticipated_final": "Anticipated final hours",
}
HOURS_MEANINGS = {
    "original_budget": "The estimate frozen at contract, its contingency included.",
    "approved_variations": "Hours of the work you approved in addition.",
    "omissions": "Hours of the work taken out by changes you approved.",
    "adjusted_estimate": "The estimate as agreed today.",
    "over_under_on_variations": "More or fewer hours than agreed for the variations.",
    "unapproved_changes": "Worked on requests, and still to work on those instructed.",
    "rework": "Work done again up to the status date.",
    "over_under_on_original_work": "More or fewer hours than estimated for it.",
    "non_productive": "Weather, waiting and the like, up to the status date.",
    "untagged": "Booked to the job; what the hours were for is being settled.",
    "anticipated_final": "What the whole job is expected to take: a forecast.",
}
SUM_LABELS = {
    "contract_sum": "Contract sum",
    "approved_variations": "Approved variations",
    "omissions": "Omissions",
    "daywork_against_estimate": "Daywork against its estimate",
    "adjusted_contract_sum": "Adjusted contract sum",
    "instructed_at_latest_price": "Instructed, price not agreed",
    "anticipated_final_sum": "Anticipated final sum",
    "submitted_not_added": "Awaiting your decision, not added",
}
SUM_MEANINGS = {
    "contract_sum": "As signed.",
    "approved_variations": "Prices of the work you approved in addition.",
    "omissions": "Prices of the work taken out by changes you approved.",
    "daywork_against_estimate": "Daywork agreed so far, above (+) or below (−) its estimate.",
    "adjusted_contract_sum": "The contract sum as agreed today.",
    "instructed_at_latest_price": "Work you ordered before its price was agreed, as last priced.",
    "anticipated_final_sum": "What the job comes to if those prices are agreed.",
    "submitted_not_added": "Prices sent to you for requests that you have not instructed.",
}
NOT_CHARGED_LABELS = {
    "over_under_on_original_work": "Original work",
    "over_under_on_variations": "Variations at a fixed price",
    "rework": "Rework",
    "non_productive": "Time lost",
    "no_charge_variations": "Variations without charge",
    "declined_or_withdrawn": "Requests declined or withdrawn",
}
NOT_CHARGED_MEANINGS = {
    "over_under_on_original_work": "Hours over (+) or under (−) the estimate, within its price.",
    "over_under_on_variations": "Hours over (+) or under (−) those agreed, within the price.",
    "rework": "Work done again at the yard's expense.",
    "non_productive": "Weather, waiting and the like, borne by the yard.",
    "no_charge_variations": "Approved, and done free of charge.",
    "declined_or_withdrawn": "Worked before the request was declined or withdrawn.",
}
BASIS_WORDS = {"fixed_price": "Fixed price", "daywork": "Daywork", "no_charge": "No charge"}
STATE_WORDS = {
    "requested": "asked for",
    "submitted": "price submitted",
    "lapsed": "price lapsed",
    "declined": "declined",
    "disputed": "price disputed",
    "withdrawn": "withdrawn",
}
INSTRUCTION_WORDS = {"none": "", "instructed": "instructed; ", "stopped": "instructed, stopped; "}

HOW_TO_READ = (
    "A request becomes a variation when you approve it. Only then does it change the contract sum.",
    (
        "An instruction is your order to begin before a price is agreed. Instructed requests are "
        "counted in the anticipated final sum at the latest price sent to you. Other prices that "
        "await your decision are shown and not added."
    ),
    (
        "Hours you asked for and hours you pay for are two separate counts of the hours above the "
        "estimate. A fixed price stays as agreed, whatever hours the work takes."
    ),
    (
        "Hours of a change are what it adds less what it takes out. Days are those granted for "
        "variations and those asked for in requests."
    ),
    (
        "Figures count what was done up to and including the status date. Hours still to come are "
        "forecasts and move as the work is measured. Parts are rounded to add up as shown."
    ),
)
CAUTION = (
    "This statement reports figures. It is no notice, claim, invoice or approval, and no tax is "
    "added in it. What is owed, and any time granted, follows from the contract and the law that "
    "governs it; where they say otherwise, they hold. Take licensed advice before you rely on "
    "this statement in a dispute."
)


def state_words(row: ChangeRow) -> str:
    """Return where the change stands; one that is not approved is called a request."""
    since = f" {row.state_on.isoformat()}" if row.state_on else ""
    if row.state == "approved":
        return f"Approved{since}" + ("; work stopped" if row.instruction == "stopped" else "")
    follows = ", price to follow" if row.state == "requested" else ""
    return f"Request: {INSTRUCTION_WORDS[row.instruction]}{STATE_WORDS[row.state]}{since}{follows}"


def basis_words(row: ChangeRow) -> str:
    """Return how the change is paid for."""
    words = BASIS_WORDS[row.change_basis]
    return f"{words}, estimated until agreed" if row.estimated else words


def hours_sentence(more: Decimal, asked: Decimal, split: tuple[Decimal, Decimal, Decimal]) -> str:
    """Return the headline: hours above the estimate, asked for, paid, not charged, undecided.

    `split` is paid, not charged and undecided; they add to `more`. All are hours to two decimals.
    """
    if not any((more, asked, *split)):
        return f"{more_words(more)}."
    clauses = [asked_words(asked, more), *filter(None, split_words(*split))]
    return f"{more_words(more)}: {', '.join(clauses[:-1])} and {clauses[-1]}."


def more_words(more: Decimal) -> str:
    if not more:
        return "This job is expected to take the hours that were estimated"
    direction = "more" if more > 0 else "fewer"
    return f"This job is expected to take {number_text(abs(more))} hours {direction} than estimated"


def asked_words(asked: Decimal, more: Decimal) -> str:
    if not asked:
        return "you asked for none of them" if more > 0 else "none was asked for by you"
    if asked < 0:
        return f"what you asked for takes out {number_text(-asked)}"
    return f"you asked for {number_text(asked)}" + (" of them" if asked <= more else "")


def split_words(paid: Decimal, free: Decimal, undecided: Decimal) -> tuple[str, str, str]:
    """Return a clause for each part; undecided says nothing when it is nil."""
    pay = f"you pay for {number_text(paid) if paid else 'none'}"
    if paid < 0:
        pay = f"{number_text(-paid)} come off what you pay for"
    keep = f"{number_text(free) if free else 'none'} are not charged"
    if free < 0:
        keep = f"{number_text(-free)} saved by the yard change no price"
    settle = f"{number_text(undecided)} are still to be decided"
    if undecided < 0:
        settle = f"{number_text(-undecided)} to come off are still to be decided"
    return pay, keep, settle if undecided else ""


def sum_sentence(adjusted: str, contract: str, waiting: str) -> str:
    """Return the headline of a statement that does not show how the hours run."""
    return f"The contract sum of {contract} stands adjusted at {adjusted}; {waiting}."


def waiting_words(count: int, amount: str) -> str:
    """Return how many requests await a decision, and their sum."""
    if not count:
        return "no request awaits your decision"
    verb = "request awaits" if count == 1 else "requests await"
    return f"{count} {verb} your decision, {amount} in all"
