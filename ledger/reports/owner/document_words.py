"""What documents say: of each kind its words, short and in the trade's own language.

Every text here is a message: it is said by `_` in the owner's language.
"""

FIXED_OFFER = "We offer to carry out the change below at {price}, without tax."
LESS_OFFER = "The change below takes {price} off the contract sum, without tax."
FREE_OFFER = "We offer to carry out the change below free of charge."
DAYWORK_OFFER = (
    "We estimate the change below at {price}, without tax. It is daywork: you pay for the hours "
    "and materials on the sheets you agree, at the agreed rates."
)
ROUGH = "This is a rough price, for guidance. It cannot be accepted; a firm price follows."
TIME_RESERVED = (
    "The effect on the completion date is not settled. It is not in this price, and we keep our "
    "right to ask for the time."
)
OFFER_ENDS = (
    "This is an offer, not yet part of the contract. Please answer in writing and name the number "
    "above; a variation order for signature follows."
)

PROPOSED_ORDER = (
    "This order changes the contract as set out below. It is a proposal until both parties sign."
)
APPROVED_ORDER = "This order changes the contract as set out below. It was approved on {day}{by}."
ORDER_SIGNED = "I agree to this change of the contract, its price and its time."
ORDER_DAYWORK = (
    "The price is an estimate. What is charged is the hours and materials on agreed daywork sheets."
)
ORDER_VALUE_AGREED = "The price was an estimate. Its value is agreed since, at {price} without tax."
ORDER_CAPPED = "The estimate must not be exceeded."

INSTRUCTED = (
    "{person} instructed us on {day} to carry out the change below{by}. This letter puts it in "
    "writing, so that both of us have the same record."
)
UNLISTED = (
    "{person} is not on our list of those who may instruct changes. Please have the instruction "
    "confirmed by somebody who is; until then we do not count it as given."
)
SILENCE = "Unless it is denied before then, the contract takes it as confirmed from {day}."
IF_WRONG = "If this is not what you ordered, please tell us in writing at once."
NO_PRICE_YET = "No price is agreed yet. We will send it; until then the hours are recorded."
PRICE_NOT_AGREED = (
    "The price we sent, {price} without tax (revision {revision}), is not agreed yet."
)
PRICE_AGREED = "The price of {price} without tax (revision {revision}) is agreed."
BY_THE_HOUR = "The work is daywork: its hours and materials come to you on sheets for signature."
TIME_OPEN = "The effect on the completion date is not settled; we keep our right to ask for time."
TIME_ASKED = "With the price we asked for {days}. They are not decided yet."
TIME_GRANTED = "You granted {days} for it."
NONE_GRANTED = "You granted no days for it."
TIME_SAID = "With the price we asked for {days}."
NO_TIME = "We ask for no extra time."
CONFIRMED = "The instruction is as written here."

DECIDE_BY = "We need your decision on the change below by {day}."
DECIDE_SOON = "We need your decision on the change below as soon as you can give it."
GOES_ON = "The work goes on as instructed until then."
WAITS = "We do not begin the work until then."
LATER = "A later decision may delay the job and cost more; we would put the effect to you."
PLANNED = "The work is planned to begin on {day}."
APPROVE = "Approved at {price}, without tax, as offered in revision {revision}"
DECLINE = "Not approved"
DISCUSS = "Approved in part, or on a condition, as written here (the yard answers):"
GO_AHEAD = "Go ahead; send the price"
PRICE_FIRST = "Send the price first; do not begin"
NOT_WANTED = "Not wanted any more"
OTHERWISE = "As written here:"
WITHOUT_PRICE = (GO_AHEAD, PRICE_FIRST, NOT_WANTED, OTHERWISE)
ON_A_ROUGH_PRICE = ("Go ahead; send the firm price", PRICE_FIRST, DECLINE, OTHERWISE)
DECIDED = "I decide as ticked here."

EFFECTS = {
    "time": (
        "Notice of an event that may cost time",
        "It may delay the completion of the job.",
    ),
    "money": (
        "Notice of an event that may cost money",
        "It may add to what the job costs you.",
    ),
    "both": (
        "Notice of an event that may cost time and money",
        "It may delay the completion of the job and add to its price.",
    ),
}
NOTICE = "We give you notice of the event below. We became aware of it on {day}. {effect}"
NOT_KNOWN = (
    "We cannot state the full effect yet. We record it as it becomes known and send you the "
    "particulars."
)
RIGHTS = "We keep our rights under the contract to the time and the payment that follow from it."

SHEET_WORDS = {
    "agreed": (
        "Daywork sheet for agreement",
        "By signing, you agree that the hours and items below were used. What you strike out or "
        "write over in the last column is agreed as changed.",
        "I agree to the hours and items as shown or changed.",
    ),
    "for_record_only": (
        "Daywork sheet for record only",
        "By signing, you confirm that the hours and items below were used. You do not agree that "
        "they are to be paid for.",
        "Seen, as a record only.",
    ),
}
NOT_ON_THE_SHEET = "What is not on this sheet is not covered by it."
