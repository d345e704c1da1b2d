"""The columns of every input file."""

from ledger.domain import parsing as p
from ledger.intake.tables import Column, choice, code, not_below_zero

TECHNIQUES = (
    "percent_complete",
    "units_complete",
    "weighted_milestone",
    "fixed_formula",
    "apportioned_effort",
    "level_of_effort",
)
EVENTS = (
    "priced",
    "submitted",
    "approved",
    "declined",
    "disputed",
    "counter_offer",
    "accepted",
    "withdrawn",
    "instructed",
    "stopped",
    "complete",
    "value_agreed",
)
ORIGINS = ("owner", "yard", "change_in_law", "unforeseen_condition")
BASES = ("fixed_price", "daywork", "no_charge")

_hours = not_below_zero(p.parse_hours)

CREW = (
    Column("worker_id", code, needed=True),
    Column("name", needed=True),
    Column("trade", str.lower, needed=True),
    Column("grade", str.lower, needed=True),
    Column("active_from", p.parse_date),
    Column("active_to", p.parse_date),
    Column("employment", choice("hourly", "salaried", "agency", "subcontract")),
    Column("supplier"),
)
RATES = (
    Column("trade", str.lower),
    Column("effective_from", p.parse_date, needed=True),
    Column("cost_per_hour", p.parse_rate, needed=True),
    Column("grade", str.lower),
    Column("worker_id", code),
)
CHARGE_RATES = (
    Column("trade", str.lower, needed=True),
    Column("effective_from", p.parse_date, needed=True),
    Column("charge_per_hour", p.parse_rate, needed=True),
    Column("grade", str.lower),
)
ESTIMATE = (
    Column("work_package", code, needed=True),
    Column("title", needed=True),
    Column("control_account", needed=True),
    Column("trade", str.lower, needed=True),
    Column("budget_hours", _hours, needed=True, stored_as="budget_ms"),
    Column("planned_start", p.parse_date, needed=True),
    Column("planned_finish", p.parse_date, needed=True),
    Column("technique", choice(*TECHNIQUES), needed=True),
    Column("spread", choice("even", "early", "late", "middle")),
    Column("quantity", not_below_zero(p.parse_decimal)),
    Column("unit"),
    Column("start_share", p.parse_share),
    Column("base_package", code),
    Column("cost_rate", p.parse_rate),
    Column("package_kind", choice("work", "contingency", "planning")),
    Column("work_kind"),
)
MILESTONES = (
    Column("work_package", code, needed=True),
    Column("milestone", str.lower, needed=True),
    Column("weight", not_below_zero(p.parse_decimal), needed=True),
    Column("planned_date", p.parse_date, needed=True),
)
PLAN = (
    Column("work_package", code, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("hours", _hours, needed=True, stored_as="ms"),
    Column("trade", str.lower),
)
PROGRESS = (
    Column("work_package", code, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("trade", str.lower),
    Column("percent", p.parse_percent),
    Column("quantity_done", not_below_zero(p.parse_decimal)),
    Column("quantity_at_completion", not_below_zero(p.parse_decimal)),
    Column("milestone", str.lower),
    Column("started", p.parse_date),
    Column("finished", p.parse_date),
    Column("estimate_to_complete_hours", _hours, stored_as="estimate_to_complete_ms"),
    Column("note"),
)
BASELINE_CHANGES = (
    Column("name", needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("person", needed=True),
    Column("reference"),
    Column("work_package", code, needed=True),
    Column("trade", str.lower),
    Column("hours", p.parse_hours, needed=True, stored_as="ms"),
    Column("contract_sum", p.parse_money),
)
CHANGES = (
    Column("change", code, needed=True),
    Column("title", needed=True),
    Column("requested_by", needed=True),
    Column("requested_on", p.parse_date, needed=True),
    Column("change_basis", choice(*BASES), needed=True),
    Column("origin", choice(*ORIGINS)),
    Column("description"),
    Column("decision_needed_by", p.parse_date),
    Column("days_requested", p.parse_whole),
)
CHANGE_LINES = (
    Column("change", code, needed=True),
    Column(
        "price_kind", choice("labour", "material", "subcontract", "plant", "addition"), needed=True
    ),
    Column("description", needed=True),
    Column("revision", p.parse_whole),
    Column("trade", str.lower),
    Column("hours", p.parse_hours, stored_as="ms"),
    Column("quantity", p.parse_decimal),
    Column("unit"),
    Column("unit_price", not_below_zero(p.parse_money)),
    Column("addition_percent", p.parse_percent),
    Column("addition_on", choice("cost", "price")),
    Column("work_package", code),
    Column("planned_start", p.parse_date),
    Column("planned_finish", p.parse_date),
    Column("technique", choice(*TECHNIQUES)),
)
CHANGE_EVENTS = (
    Column("change", code, needed=True),
    Column("event", choice(*EVENTS), needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("person", needed=True),
    Column("revision", p.parse_whole),
    Column("reference"),
    Column("valid_until", p.parse_date),
    Column("rough", p.parse_flag),
    Column("not_to_exceed", p.parse_flag),
    Column("days_granted", p.parse_whole),
    Column("condition"),
    Column("agreed_value", not_below_zero(p.parse_money)),
    Column("agreed_hours", _hours, stored_as="agreed_ms"),
    Column("note"),
)
ATTENDANCE = (
    Column("worker_id", code, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("clock_in", p.parse_time_of_day, needed=True),
    Column("clock_out", p.parse_time_of_day, needed=True),
    Column("break_minutes", not_below_zero(p.parse_whole)),
)
RULES = (
    Column("rule", needed=True),
    Column("priority", p.parse_whole, needed=True),
    Column("booked_to", code),
    Column("cause", str.lower),
    Column("booking_code", code),
    Column("note_contains", str.lower),
    Column("note_matches"),
    Column("worker_id", code),
    Column("trade", str.lower),
    Column("job", code),
    Column("from", p.parse_date, stored_as="day_from"),
    Column("to", p.parse_date, stored_as="day_to"),
    Column("share", p.parse_share),
    Column("rework", str.lower),
)
