"""What the page of a job says to its owner. Every text in capitals is a message."""

TITLE = "Your job on one page"
WAITS_FOR = {
    "decision": "Your decision",
    "firm_price": "A firm price by the yard",
    "price": "A price by the yard",
    "matter": "An open matter",
    "days": "A decision on the days",
    "": "",
}
STANDING = {
    "agreed": "Agreed: adjusted contract sum",
    "awaiting": "Awaiting your decision",
    "claimed": "Claimed",
    "certified": "Certified",
}
STANDING_MEANINGS = {
    "agreed": "The contract sum with the variations you approved.",
    "awaiting": "Prices sent to you, instructed work included.",
    "claimed": "The value of work to date by the last claim sent to you.",
    "certified": "What of it is certified; without certificates, what was invoiced.",
}
CLAIMED_TO = "The value of work to {day} by the last claim sent to you."
ACCOUNT = {
    "certified_value": "Certified, without tax",
    "held_back": "Retention held of it, without tax",
    "invoiced_to_date": "Invoiced",
    "credited_to_date": "Credited",
    "paid_to_date": "Paid",
    "deductions_accepted": "Deductions accepted",
    "outstanding": "Outstanding",
    "overdue": "Of it overdue",
    "disputed": "Of it disputed",
}
COMPLETION = {
    "original": "Completion date as signed",
    "granted": "Days granted",
    "revised": "Completion date with the days granted",
    "asked": "Days asked for by requests awaiting your decision",
}
SUM_CHART = (
    "From the contract sum to the anticipated final sum, without tax. Filled: more; outlined: "
    "less; darker bars: the sums"
)
SUM_AXIS = "{currency} above (+) or below (−) the contract sum"
STANDING_CHART = "Agreed, awaiting your decision, claimed and certified, without tax"
STANDING_AXIS = "{currency}, without tax"
HOURS_CHART = "Hours step by step, from the original estimate to the anticipated final hours"
CAUTION = (
    "This page reports figures of the status date; it adds tax only where it says so. It is not a "
    "statement, notice, claim, invoice or approval. What is owed, and any time granted, follows "
    "from the contract and its governing law, which come before this page. Take licensed advice "
    "before you rely on it in a dispute."
)
