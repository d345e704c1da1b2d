"""What the owner's statement says in words: titles, labels, and sentences made from figures.

Every text that a constant has is a message: it is said by `_` in the owner's language.
"""

from datetime import date

from ledger.domain.pricing import PriceLine
from ledger.language import _, ngettext
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.owner.additions import agreed_words
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
    "time_beyond_estimate": "Time beyond the estimate",
    "instructed_at_latest_price": "Requests not approved",
    "hours_alone": "Hours with no price effect",
    "anticipated_final_sum": "Anticipated final",
    "submitted_not_added": "Awaiting your decision, not added",
}
# Of a job that is paid by the hour, where such hours have their price.
LABELS_BY_THE_HOUR = {"hours_alone": "Hours over or under the estimate"}
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
    "time_beyond_estimate": (
        "What the hours worked to date come to at contract rates, less the estimate of them."
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
ABOVE_ESTIMATE = "Work beyond the agreed sheets and the remaining estimate, at contract rates."
WITHOUT_RATE = "A trade has no contract rate, so no amount is shown."
COUNTED = "The anticipated final sum counts the work at the amount shown."
NOT_IN_SUM = "Not included in any sum."

DRAFT = "Draft, not issued"
NO_COMPLETION = "the contract names no completion date"
SIGN = (
    "Tick, sign and return. Whoever signs must be authorised under the contract; partial "
    "acceptance is a counter-offer."
)
NEW = "Not listed"
GONE = "No longer listed"
MOVED = (
    "Against the statement of {day}: adjusted contract sum {adjusted}, anticipated final sum "
    "{final}, awaiting your decision {waiting}, days granted {days}."
)
NOTHING_MOVED = "No change has a different status since the last statement."
SHEETS_TITLE = "Change details"
CHART = (
    "Hours against the original estimate, step by step. Filled: more hours; outlined: fewer; "
    "darker bars: the adjusted estimate and the anticipated final hours."
)
CHART_ALTERNATIVE = "Hours step by step: {steps}. The table below has the same figures."
ESTIMATE = "Estimate"
AGREED_ON = "Agreed on daywork sheets"
AGREED_APART = "Agreed on daywork sheets, price not agreed; in no sum"
AGREED_APART_TOTAL = "Agreed on sheets to date: {} h"
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
        "This job is charged by the hour: its contract sum is an estimate. What the hours worked "
        "to date come to beyond it stands apart and is in the anticipated final sum."
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
ROUGH_WAITS = "The price is rough: it cannot be approved until a firm one follows."
DONE_WAITS = "The work is done; the price is open."
INSTRUCTED_WAITS = "Work continues on your instruction while the price is open."
TIME_WAITS = "Time is reserved."
NO_TIME_WAITS = "It asks for no days."
START_TO_COME = "Work is planned to begin on {day}."
START_PAST = "Work was planned to begin on {day}; each day of waiting delays it."
OF_A_SUM = 'Of the provisional sum "{name}", omitted'
OF_A_SUM_BEYOND = 'Of the provisional sum "{name}", omitted; {beyond} is more than was left of it'
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
    return " ".join(filter(None, map(_, sentences)))


def line_words(line: PriceLine) -> str:
    """Return what a line is, with the percentage agreed, or of which sum it omits."""
    if line.price_kind == "provisional_sum":
        words = OF_A_SUM_BEYOND if line.beyond_sum else OF_A_SUM
        name, beyond = cut(line.description, NAME_LENGTH), number_text(line.beyond_sum)
        return _(words).format(name=name, beyond=beyond)
    kind = _(PRICE_KIND_WORDS[line.price_kind])
    described = line.description or line.labour.capitalize() or kind
    return ", ".join(
        filter(None, (cut(described, TEXT_LENGTH), agreed_words(line.agreed_addition)))
    )


def state_words(row: ChangeRow) -> str:
    """Return where the change stands; one that is not approved is called a request."""
    is_approved = row.state == "approved"
    state = _("Approved") if is_approved else _(STATE_WORDS[row.state])
    if row.state_on:
        state = _("{state} {day}").format(state=state, day=written(row.state_on))
    if is_approved:
        return state + (_("; work stopped") if row.instruction == "stopped" else "")
    follows = _(", price to follow") if row.state == "requested" else ""
    by = cut(row.instructed_by, NAME_LENGTH)
    instruction = _(INSTRUCTION_WORDS[row.instruction]).format(by)
    request = _("Request: {instruction}{state}").format(instruction=instruction, state=state)
    return request + follows


def kind_words(row: ChangeRow) -> str:
    """Return what a change is called: only an approved one is a variation."""
    if row.state == "approved":
        return _("Variation")
    offered = {"submitted", "lapsed", "disputed", "counter_offer"}
    return _("Proposed variation, not approved") if row.state in offered else _("Request")


def event_words(row: HistoryRow) -> str:
    """Return what happened, to which of the prices, and what came with it."""
    words = _(EVENT_WORDS[row.event])
    if row.revision is not None:
        words += _(", revision {revision}").format(revision=number_text(row.revision))
    if row.valid_until:
        words += _(", valid until {day}").format(day=written(row.valid_until))
    if row.days:
        granted = _(", {days} offered") if row.event == "counter_offer" else _(", {days} granted")
        words += granted.format(days=days_words(row.days))
    elif row.event == "time_decided":
        words += _(", none granted")
    return words


def waiting_effect(row: AwaitingRow, on: date) -> str:
    """Return what waiting does: how long it has lasted, what is late, and what lapses when."""
    waited = (on - row.submitted_on).days
    sent = ngettext(
        "Sent on {day}, with you for {count} day.",
        "Sent on {day}, with you for {count} days.",
        waited,
    )
    sentences = [sent.format(day=written(row.submitted_on), count=number_text(waited))]
    if row.decision_needed_by:
        sentences.append(due_words((row.decision_needed_by - on).days))
    if row.valid_until:
        lapses = _("The price lapses after {day}.")
        sentences.append(lapses.format(day=written(row.valid_until)))
    if row.rough:
        sentences.append(_(ROUGH_WAITS))
    if row.complete:
        sentences.append(_(DONE_WAITS))
    elif row.instructed:
        sentences.append(_(INSTRUCTED_WAITS))
    elif row.planned_start:
        sentences.append(start_words(row.planned_start, on))
    sentences.append(asked_words(row.days))
    return " ".join(sentences)


def asked_words(days: int | None) -> str:
    """Return how many days a price that waits asks for, or that it leaves them open."""
    if days is None:
        return _(TIME_WAITS)
    if not days:
        return _(NO_TIME_WAITS)
    asks = ngettext("It asks for {count} more day.", "It asks for {count} more days.", days)
    return asks.format(count=number_text(days))


def due_words(left: int) -> str:
    if left < 0:
        late = ngettext(
            "The decision is {count} day late.", "The decision is {count} days late.", -left
        )
        return late.format(count=number_text(-left))
    if not left:
        return _("A decision is needed today.")
    needed = ngettext(
        "A decision is needed in {count} day.", "A decision is needed in {count} days.", left
    )
    return needed.format(count=number_text(left))


def start_words(start: date, on: date) -> str:
    return _(START_TO_COME if start > on else START_PAST).format(day=written(start))


def days_words(count: int) -> str:
    return ngettext("{count} day", "{count} days", count).format(count=number_text(count))


def days_of(row: ChangeRow, detail: ChangeDetail) -> str:
    """Return the days as decided, else as asked for, else that time is reserved.

    None are asked for only where the price says so; before any price or order it is empty.
    """
    asked, decided = detail.days_requested, row.days_decided or row.state == "approved"
    if row.days is not None and decided and not (row.days == asked == 0):
        count = number_text(row.days)
        return _("{count} granted").format(count=count) if row.days else _("none granted")
    if asked:
        words = _("{count} requested, not decided") if row.days_open else _("{count} requested")
        return words.format(count=number_text(asked))
    if asked == 0:
        return _("none requested")
    is_reserved = row.price is not None or row.instruction != "none"
    return _("time reserved") if is_reserved and row.state != "withdrawn" else ""


def basis_words(row: ChangeRow) -> str:
    """Return how the change is paid for."""
    words = _(BASIS_WORDS[row.change_basis])
    if row.capped:
        return words + _(", capped at its estimate")
    return words + _(", estimated until agreed") if row.estimated else words
