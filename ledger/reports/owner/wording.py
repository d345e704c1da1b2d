"""What the owner's statement says in words: titles, labels, and sentences made from figures."""

from datetime import date
from decimal import Decimal

from ledger.domain.pricing import PriceLine, YardPriceLine
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.owner.variations_rows import (
    AwaitingRow,
    ChangeDetail,
    ChangeRow,
    HistoryRow,
    OpenMatter,
)
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut

TITLE = "Statement of variations and open requests"

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
    "omissions": "Taken out by approved changes, or not done after a stop.",
    "adjusted_estimate": "The estimate as agreed today.",
    "over_under_on_variations": "More or fewer hours than agreed for the variations.",
    "unapproved_changes": "Worked on requests, and to come on those instructed.",
    "rework": "Work done again up to the status date.",
    "over_under_on_original_work": "More or fewer hours than estimated for it.",
    "non_productive": "Weather, waiting and the like, up to the status date.",
    "untagged": "Booked to the job, purpose still to be settled.",
    "anticipated_final": "A forecast for the whole job.",
}
CONTRACT_LABELS = {
    "contract_sum": "Original",
    "approved_variations": "Approved variations",
    "omissions": "Omissions",
    "daywork_against_estimate": "Daywork against its estimate",
    "adjusted_contract_sum": "Adjusted",
    "daywork_unsigned": "Daywork not signed",
    "instructed_at_latest_price": "Requests not approved",
    "hours_alone": "Hours with no price effect",
    "anticipated_final_sum": "Anticipated final",
    "submitted_not_added": "Awaiting your decision, not added",
}
CONTRACT_MEANINGS = {
    "contract_sum": "The estimate frozen at contract, and the contract sum.",
    "approved_variations": "Work you approved in addition.",
    "omissions": "Work and provisional sums taken out by changes you approved.",
    "daywork_against_estimate": (
        "Daywork agreed on sheets or at a value, less its estimate. What is left of an estimate "
        "counts until the work is complete."
    ),
    "adjusted_contract_sum": "As agreed today.",
    "daywork_unsigned": (
        "Daywork done beyond what is agreed and estimated, at contract rates, not signed yet."
    ),
    "instructed_at_latest_price": (
        "Hours worked, and to come where you instructed the work. Sum of instructed requests, as "
        "last priced."
    ),
    "hours_alone": (
        'Over or under the estimate, rework, time lost: see "Why the hours changed". Includes '
        "hours of daywork above its estimate."
    ),
    "anticipated_final_sum": "Hours as forecast; the sum if all this is agreed.",
    "submitted_not_added": "Prices sent to you for requests that are not instructed, or stopped.",
}
NOT_CHARGED_LABELS = {
    "over_under_on_original_work": "Original work",
    "over_under_on_variations": "Variations over what was agreed",
    "rework": "Rework",
    "non_productive": "Time lost",
    "no_charge_variations": "Variations without charge",
    "declined_or_withdrawn": "Requests declined or withdrawn",
}
NOT_CHARGED_MEANINGS = {
    "over_under_on_original_work": "Hours over (+) or under (−) the estimate, within its price.",
    "over_under_on_variations": "Hours over (+) or under (−) a fixed price or an agreed limit.",
    "rework": "Work done again at the yard's expense.",
    "non_productive": "Weather, waiting and the like, borne by the yard.",
    "no_charge_variations": "Approved and free of charge.",
    "declined_or_withdrawn": "Worked before the request was declined or withdrawn.",
}
BASIS_WORDS = {"fixed_price": "Fixed price", "daywork": "Daywork", "no_charge": "No charge"}
STATE_WORDS = {
    "requested": "received",
    "submitted": "price submitted",
    "lapsed": "price lapsed",
    "declined": "declined",
    "disputed": "price disputed",
    "counter_offer": "your counter-offer, not accepted yet",
    "withdrawn": "withdrawn",
}
INSTRUCTION_WORDS = {
    "none": "",
    "awaiting": "instruction received from {}, confirmation awaited; ",
    "instructed": "instructed; ",
    "stopped": "instructed, stopped; ",
}

ORIGIN_WORDS = {
    "owner": "Your request",
    "yard": "Proposed by the yard",
    "change_in_law": "Change in law",
    "unforeseen_condition": "Unforeseen condition",
}
PRICE_KIND_WORDS = {
    "labour": "Labour",
    "material": "Material",
    "subcontract": "Subcontract",
    "plant": "Plant",
    "addition": "Addition",
    "provisional_sum": "Provisional sum",
}
EVENT_WORDS = {
    "requested": "Requested",
    "submitted": "Price submitted to you",
    "approved": "Approved",
    "declined": "Declined",
    "disputed": "Price disputed",
    "counter_offer": "Your counter-offer",
    "accepted": "Counter-offer accepted by the yard",
    "lapsed": "Price lapsed",
    "withdrawn": "Withdrawn",
    "instructed": "Instructed by you",
    "instruction_received": "Instruction received, to be confirmed",
    "confirmed": "Instruction confirmed",
    "denied": "Instruction denied",
    "stopped": "Work stopped",
    "complete": "Work complete",
    "time_decided": "Days decided",
    "notified": "Notice sent to you",
    "value_agreed": "Value agreed",
}

MATTER_WORDS = {
    "disputed": "Price disputed",
    "counter_offer": "Your counter-offer, not accepted yet",
    "lapsed": "Price lapsed, work instructed",
    "declined": "Price declined, work instructed",
    "withdrawn": "Price withdrawn, work instructed",
    "stopped": "Work instructed and stopped, no price sent",
    "stopped_with_price": "Work instructed and stopped, its price not agreed",
    "no_price": "Work instructed, no price sent",
    "confirmation_awaited": "Instruction received, confirmation awaited",
    "daywork_unsigned": "Daywork not signed",
}
INSTRUCTION_STANDS = "Your instruction stands until you stop the work."
MATTER_MEANINGS = {
    "disputed": "",
    "counter_offer": "It changes nothing until the yard accepts it.",
    "lapsed": INSTRUCTION_STANDS,
    "declined": INSTRUCTION_STANDS,
    "withdrawn": INSTRUCTION_STANDS,
    "stopped": "What was done is still to be priced.",
    "stopped_with_price": "The price sent covers all of the work; the part done is to be agreed.",
    "no_price": INSTRUCTION_STANDS,
    "confirmation_awaited": "It counts once a person who may instruct confirms it.",
    "daywork_unsigned": "",
}
INDICATION = "Hours worked so far at contract rates: an indication, not a price."
ABOVE_ESTIMATE = "Done beyond what is agreed on sheets and left of the estimate, at contract rates."
WITHOUT_RATE = "A trade has no contract rate, so no amount is shown."
COUNTED = "The anticipated final sum counts the work at the amount shown."
NOT_IN_SUM = "It is not in any sum."

DRAFT = "Draft, not issued"
NO_COMPLETION = "the contract names no completion date"
SIGN = (
    "Tick, sign and return. Who signs must be allowed to approve under the contract; a yes in part "
    "is a counter-offer."
)
NEW = "Not listed"
GONE = "No longer listed"
NOTHING_MOVED = "No change stands otherwise than in the last statement."
SHEETS_TITLE = "Change details"
CHART = (
    "Hours against the original estimate, step by step. Filled: more hours; outlined: fewer; "
    "darker bars: the adjusted estimate and the anticipated final hours."
)
ESTIMATE = "Estimate"
AGREED_ON = "Agreed on daywork sheets"
RECORDED_ON = "Recorded on sheets, not agreed"
ABOVE_CAP = "Above the agreed limit, not charged"
REST = "Left of the estimate"
NOT_AGREED = "Worked and used to date, on no agreed sheet"
NOT_AGREED_TOTAL = "Not agreed to date: {} h"
TAKEN_OUT = "Work taken out"
NO_PRICE = "No price has been submitted yet."
NO_LINES = "Submitted without lines: at agreed rates, with no estimate given."
EARNED_NOTE = (
    "The price covers {priced} h. The estimate changes by {counted} h: no more can be taken out "
    "than was left to do. The price is as approved."
)
STOPPED_NOTE = (
    "The price covers {priced} h. Work was stopped; {counted} h stay in the estimate, and hours "
    "not done are taken out. The price stands as approved until a reduction is agreed."
)

HOW_TO_READ = (
    "A request becomes a variation when you approve it. Only then does it change the contract sum.",
    (
        "An instruction is your order to begin before a price is agreed. It stands until you stop "
        "the work, whatever happens to the price. Instructed requests are counted in the "
        "anticipated final sum at the latest price sent to you. Other prices that await your "
        "decision are shown but not added."
    ),
    (
        "Hours of a change are hours added less hours taken out. Days are those granted for "
        "variations and those asked for in requests."
    ),
)
OF_ALL_HOURS = (
    (
        "Hours arising from your requests and hours you pay for are two separate counts of the "
        "hours above the estimate."
    ),
    (
        "Figures count work done up to and including the status date. Hours to come are "
        "forecasts and change as the work is measured. Parts are rounded to add up as shown."
    ),
)
OF_CHANGES_ALONE = ("Figures are those of the status date. Parts are rounded to add up as shown.",)
PAID_BY = {
    "fixed_price": "A fixed price stays as agreed, whatever hours the work takes.",
    "time_charge": (
        "This job is charged by the hour: the sums are the estimate and what was agreed since, not "
        "the charge for the hours worked."
    ),
    "target": (
        "This job has a target: the sums are the target and what was agreed since; how hours above "
        "or below it are shared follows from the contract."
    ),
}
WITHOUT_HOURS = {
    "contract_sum": "The contract sum.",
    "instructed_at_latest_price": "Instructed before a price was agreed, as last priced.",
    "anticipated_final_sum": "The sum if all this is agreed.",
}
BEYOND = "beyond the job's calendar"
CAUTION = (
    "This statement reports figures and adds no tax. It is not a notice, claim, invoice or "
    "approval: you approve only what you tick and sign in section 1. What is owed, and any time "
    "granted, follows from the contract and its governing law, which come before this statement. "
    "Take licensed advice before you rely on it in a dispute."
)


def how_to_read(contract_basis: str, *, whole: bool) -> tuple[str, ...]:
    """Return how the statement is to be read, and how a job of that contract is paid.

    `whole` says that it shows how all hours of the job run, not those of changes alone.
    """
    return (*HOW_TO_READ, *(OF_ALL_HOURS if whole else OF_CHANGES_ALONE), PAID_BY[contract_basis])


def matter_effect(matter: OpenMatter, row: ChangeRow) -> str:
    """Return what an open matter means, what its hours are, and whether a sum counts it."""
    sentences = [MATTER_MEANINGS[matter.matter]]
    unsigned = matter.matter == "daywork_unsigned"
    if matter.indicative:
        sentences.append(ABOVE_ESTIMATE if unsigned else INDICATION)
    if matter.amount is None:
        sentences.append(WITHOUT_RATE)
    counted = (row.is_ordered and not matter.indicative) or unsigned
    sentences.append(COUNTED if counted and matter.amount is not None else NOT_IN_SUM)
    return " ".join(filter(None, sentences))


def addition_words(line: YardPriceLine) -> str:
    """Return the percentage in a line that the contract lets the owner see."""
    if line.addition is None:
        return ""
    percent = line.addition.percent
    on_price = line.addition.on == "price"
    words = f"{percent.normalize():f} % of the price" if on_price else percent_words(percent)
    return words if line.base is None else f"{words} on {number_text(line.base)}"


def percent_words(percent: Decimal) -> str:
    """Return a percentage that is added to a cost."""
    return f"{'+' if percent > 0 else ''}{percent.normalize():f} %"


def line_words(line: PriceLine) -> str:
    """Return what a line is, with the percentage agreed, or of which sum it omits."""
    if line.price_kind == "provisional_sum":
        omitted = f'Of the provisional sum "{cut(line.description, NAME_LENGTH)}", omitted'
        rest = number_text(line.beyond_sum)
        return f"{omitted}; {rest} is more than was left of it" if line.beyond_sum else omitted
    described = line.description or line.labour.capitalize() or PRICE_KIND_WORDS[line.price_kind]
    return ", ".join(filter(None, (cut(described, TEXT_LENGTH), line.agreed_addition)))


def state_words(row: ChangeRow) -> str:
    """Return where the change stands; one that is not approved is called a request."""
    since = f" {written(row.state_on)}" if row.state_on else ""
    if row.state == "approved":
        return f"Approved{since}" + ("; work stopped" if row.instruction == "stopped" else "")
    follows = ", price to follow" if row.state == "requested" else ""
    instruction = INSTRUCTION_WORDS[row.instruction].format(cut(row.instructed_by, NAME_LENGTH))
    return f"Request: {instruction}{STATE_WORDS[row.state]}{since}{follows}"


def kind_words(row: ChangeRow) -> str:
    """Return what a change is called: only an approved one is a variation."""
    if row.state == "approved":
        return "Variation"
    offered = {"submitted", "lapsed", "disputed", "counter_offer"}
    return "Proposed variation, not approved" if row.state in offered else "Request"


def event_words(row: HistoryRow) -> str:
    """Return what happened, to which of the prices, and what came with it."""
    words = EVENT_WORDS[row.event]
    if row.revision is not None:
        words += f", revision {number_text(row.revision)}"
    if row.valid_until:
        words += f", valid until {written(row.valid_until)}"
    if row.days:
        given = "offered" if row.event == "counter_offer" else "granted"
        words += f", {count_words(row.days, 'day')} {given}"
    elif row.event == "time_decided":
        words += ", none granted"
    return words


def waiting_effect(row: AwaitingRow, on: date) -> str:
    """Return what waiting does: how long it has lasted, what is late, and what lapses when."""
    waited = count_words((on - row.submitted_on).days, "day")
    sentences = [f"Sent on {written(row.submitted_on)}, with you for {waited}."]
    if row.decision_needed_by:
        sentences.append(due_words((row.decision_needed_by - on).days))
    if row.valid_until:
        sentences.append(f"The price lapses after {written(row.valid_until)}.")
    if row.rough:
        sentences.append("The price is rough: it cannot be approved until a firm one follows.")
    if row.complete:
        sentences.append("The work is done; the price is open.")
    elif row.instructed:
        sentences.append("Work continues on your instruction while the price is open.")
    elif row.planned_start:
        sentences.append(start_words(row.planned_start, on))
    if row.days:
        sentences.append(f"It asks for {count_words(row.days, 'more day')}.")
    return " ".join(sentences)


def due_words(left: int) -> str:
    if left < 0:
        return f"The decision is {count_words(-left, 'day')} late."
    return f"A decision is needed {'in ' + count_words(left, 'day') if left else 'today'}."


def start_words(start: date, on: date) -> str:
    if start > on:
        return f"Work is planned to begin on {written(start)}."
    return f"Work was planned to begin on {written(start)}; each day of waiting delays it."


def count_words(count: int, thing: str) -> str:
    """Return the count with its thing, one or many."""
    return f"{number_text(count)} {thing}" + ("" if count == 1 else "s")


def days_of(row: ChangeRow, detail: ChangeDetail) -> str:
    """Return the days granted by the approval, else those asked for."""
    if row.days_open:
        return f"{number_text(detail.days_requested or 0)} requested, not decided"
    days, word = (
        (row.days, "granted")
        if row.state == "approved" or row.days_decided
        else (detail.days_requested, "requested")
    )
    return f"{'none' if days is None else number_text(days)} {word}"


def basis_words(row: ChangeRow) -> str:
    """Return how the change is paid for."""
    words = BASIS_WORDS[row.change_basis]
    if row.capped:
        return f"{words}, capped at its estimate"
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
        return "This job is expected to take the hours estimated"
    direction = "more" if more > 0 else "fewer"
    return f"This job is expected to take {number_text(abs(more))} hours {direction} than estimated"


def asked_words(asked: Decimal, more: Decimal) -> str:
    """Return what arises from the owner's requests; time lost on their account is not among it."""
    if not asked:
        return "none arise from your requests"
    if asked < 0:
        return f"your requests take out {number_text(-asked)}"
    them = " of them" if asked <= more else ""
    return f"{number_text(asked)}{them} arise from your requests"


def split_words(paid: Decimal, free: Decimal, undecided: Decimal) -> tuple[str, str, str]:
    """Return a clause for each part; undecided says nothing when it is nil."""
    pay = f"you pay for {number_text(paid) if paid else 'none'}"
    if paid < 0:
        pay = f"{number_text(-paid)} come off what you pay for"
    keep = f"{number_text(free) if free else 'none'} are not charged"
    if free < 0:
        keep = f"{number_text(-free)} saved by the yard do not change the price"
    settle = f"{number_text(undecided)} are still to be decided"
    if undecided < 0:
        settle = f"{number_text(-undecided)} to come off are still to be decided"
    return pay, keep, settle if undecided else ""


def sum_sentence(adjusted: str, contract: str, waiting: str) -> str:
    """Return the headline of a statement that does not show how the hours run."""
    if adjusted == contract:
        return f"The contract sum stands at {contract}; {waiting}."
    return f"The contract sum of {contract} is now {adjusted}; {waiting}."


def waiting_words(count: int, amount: str) -> str:
    """Return how many requests await a decision, and their sum."""
    if not count:
        return "no request awaits your decision"
    verb = "request awaits" if count == 1 else "requests await"
    return f"{count} {verb} your decision, {amount} in total"
