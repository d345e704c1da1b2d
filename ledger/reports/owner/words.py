"""The words that the fields of an owner's view model may hold, in the order they are shown."""

CHANGE_STEPS = ("approved_variations", "omissions")
ESTIMATE_STEPS = ("original_budget", "approved_variations", "omissions", "adjusted_estimate")
OVERRUN_STEPS = (
    "over_under_on_variations",
    "unapproved_changes",
    "rework",
    "over_under_on_original_work",
    "non_productive",
    "untagged",
    "anticipated_final",
)
SUM_STEPS = (
    "contract_sum",
    "approved_variations",
    "omissions",
    "daywork_against_estimate",
    "adjusted_contract_sum",
    "daywork_unsigned",
    "time_beyond_estimate",
    "instructed_at_latest_price",
    "anticipated_final_sum",
    "submitted_not_added",
)
NOT_CHARGED_STEPS = (
    "over_under_on_original_work",
    "over_under_on_variations",
    "rework",
    "non_productive",
    "no_charge_variations",
    "declined_or_withdrawn",
)
STATES = (
    "requested",
    "submitted",
    "lapsed",
    "approved",
    "declined",
    "disputed",
    "counter_offer",
    "withdrawn",
)
OPEN_MATTERS = (
    "disputed",
    "counter_offer",
    "lapsed",
    "declined",
    "withdrawn",
    "stopped",
    "stopped_with_price",
    "no_price",
    "confirmation_awaited",
    "daywork_unsigned",
)
INSTRUCTIONS = ("none", "awaiting", "instructed", "stopped")
PRICE_KINDS = ("labour", "material", "subcontract", "plant", "addition", "provisional_sum")
EVENTS = (
    "requested",
    "submitted",
    "approved",
    "declined",
    "disputed",
    "counter_offer",
    "accepted",
    "lapsed",
    "withdrawn",
    "instructed",
    "instruction_received",
    "confirmed",
    "denied",
    "stopped",
    "complete",
    "time_decided",
    "notified",
    "value_agreed",
)
