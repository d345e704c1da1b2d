"""The columns of every input file."""

from collections.abc import Mapping
from decimal import Decimal

from ledger.domain import parsing as p
from ledger.domain.change_life import CHANGE_BASES, EVENTS, ORIGINS
from ledger.domain.codes import code_of as code
from ledger.domain.codes import word_of as word
from ledger.domain.daywork import MARKS
from ledger.domain.pay import KINDS as KINDS_OF_PAY
from ledger.domain.pay import REASONS as REASONS_OF_PAY
from ledger.domain.pricing import METHODS, PRICE_KINDS
from ledger.domain.pricing import ON as ADDED_ON
from ledger.domain.receivables import DEDUCTION_KINDS
from ledger.domain.shares import CREW_HOURS
from ledger.tables.layout_keys import SHEETS
from ledger.tables.layouts import MAPPED
from ledger.tables.small_tables import Column, choice, not_below_zero, unused

TECHNIQUES = (
    "percent_complete",
    "units_complete",
    "weighted_milestone",
    "fixed_formula",
    "apportioned_effort",
    "level_of_effort",
)

# What a job costs beside its hours.
COST_KINDS = ("material", "subcontract", "plant", "other")

_hours = not_below_zero(p.parse_hours)


def _percent(text: str) -> Decimal:
    """Return a percentage added, which may be above 100, written with or without its sign."""
    return p.parse_money(text.removesuffix("%").rstrip())


def price_kinds(text: str) -> str:
    """Return price kinds, written with commas or blanks between, as they are kept."""
    kinds = text.replace(",", " ").replace(";", " ").split()
    for kind in kinds:
        if kind not in PRICE_KINDS:
            raise ValueError(f'"{kind}" is unknown; use {", ".join(PRICE_KINDS)}')
    return ",".join(kind for kind in PRICE_KINDS if kind in kinds)


CREW = (
    Column("worker_id", code, needed=True),
    Column("name", p.parse_name, needed=True),
    Column("trade", word, needed=True),
    Column("grade", word),
    Column("active_from", p.parse_date),
    Column("active_to", p.parse_date, ends=True),
    Column("employment", choice("hourly", "salaried", "agency", "subcontract")),
    Column("supplier"),
    Column("contract_hours_per_week", _hours, stored_as="contract_ms"),
)
RATES = (
    Column("trade", word),
    Column("effective_from", p.parse_date, needed=True),
    Column("cost_per_hour", p.parse_rate, needed=True),
    Column("grade", word),
    Column("worker_id", code),
)
CHARGE_RATES = (
    Column("trade", word, needed=True),
    Column("effective_from", p.parse_date, needed=True),
    Column("charge_per_hour", p.parse_rate, needed=True),
    Column("grade", word),
    *unused("pay_class"),
)
PAST_WORK = (
    Column("past_job", p.parse_name, needed=True),
    Column("work_kind", word, needed=True),
    Column("unit", word, needed=True),
    Column("trade", word, needed=True),
    Column("quantity", p.parse_quantity, needed=True),
    Column("hours", _hours, needed=True, stored_as="ms"),
)
# What is to be built, to draw up an estimate of it.
QUANTITIES = (
    Column("work_package", code, needed=True),
    Column("title", p.parse_name, needed=True),
    Column("control_account", p.parse_name, needed=True),
    Column("work_kind", word, needed=True),
    Column("unit", word, needed=True),
    Column("quantity", p.parse_quantity, needed=True),
    Column("planned_start", p.parse_date, needed=True),
    Column("planned_finish", p.parse_date, needed=True),
)
ESTIMATE = (
    Column("work_package", code, needed=True),
    Column("title", p.parse_name, needed=True),
    Column("control_account", p.parse_name, needed=True),
    Column("trade", word, needed=True),
    Column("budget_hours", _hours, needed=True, stored_as="budget_ms"),
    Column("planned_start", p.parse_date, needed=True),
    Column("planned_finish", p.parse_date, needed=True, ends=True),
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
    Column("milestone", word, needed=True),
    Column("weight", not_below_zero(p.parse_decimal), needed=True),
    Column("planned_date", p.parse_date, needed=True),
)
PLAN = (
    Column("work_package", code, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("hours", _hours, needed=True, stored_as="ms"),
    Column("trade", word),
)
PROGRESS = (
    Column("work_package", code, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day", ends=True),
    Column("trade", word),
    Column("percent", p.parse_percent),
    Column("quantity_done", not_below_zero(p.parse_decimal)),
    Column("quantity_at_completion", not_below_zero(p.parse_decimal)),
    Column("milestone", word),
    Column("started", p.parse_date),
    Column("finished", p.parse_date, ends=True),
    Column("estimate_to_complete_hours", _hours, stored_as="estimate_to_complete_ms"),
    Column("note"),
)
BASELINE_CHANGES = (
    Column("name", p.parse_name, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("person", p.parse_person, needed=True),
    Column("reference"),
    Column("work_package", code, needed=True),
    Column("trade", word),
    Column("hours", p.parse_hours, needed=True, stored_as="ms"),
    Column("contract_sum", p.parse_sum),
)
CHANGES = (
    Column("change", code, needed=True),
    Column("title", p.parse_name, needed=True),
    Column("requested_by", p.parse_person, needed=True),
    Column("requested_on", p.parse_date, needed=True),
    Column("change_basis", choice(*CHANGE_BASES), needed=True),
    Column("origin", choice(*ORIGINS)),
    Column("description"),
    Column("decision_needed_by", p.parse_date),
    Column("days_requested", p.parse_whole),
)
CHANGE_LINES = (
    Column("change", code, needed=True),
    Column("price_kind", choice(*PRICE_KINDS, "addition"), needed=True),
    Column("description", needed=True),
    Column("revision", p.parse_whole),
    Column("trade", word),
    Column("grade", word),
    Column("hours", p.parse_hours, stored_as="ms"),
    Column("quantity", p.parse_decimal),
    Column("unit"),
    Column("unit_price", not_below_zero(p.parse_money)),
    Column("work_package", code),
    Column("planned_start", p.parse_date),
    Column("planned_finish", p.parse_date, ends=True),
    Column("technique", choice(*TECHNIQUES)),
    Column("addition_percent", not_below_zero(_percent), kind="number"),
    Column("addition_on", choice(*ADDED_ON)),
    Column("addition_of", price_kinds),
    Column("addition_method", choice(*METHODS)),
    Column("provisional_sum", p.parse_name),
    Column("owner_text"),
)
CHANGE_EVENTS = (
    Column("change", code, needed=True),
    Column("event", choice(*EVENTS), needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("person", p.parse_person, needed=True),
    Column("revision", p.parse_whole),
    Column("reference"),
    Column("valid_until", p.parse_date),
    Column("rough", p.parse_flag),
    Column("not_to_exceed", p.parse_flag),
    Column("days_granted", p.parse_whole),
    Column("condition"),
    Column("agreed_value", not_below_zero(p.parse_sum)),
    Column("agreed_hours", _hours, stored_as="agreed_ms"),
    Column("days_requested", not_below_zero(p.parse_whole)),
    Column("aware_on", p.parse_date),
    Column("received_on", p.parse_date),
    Column("document"),
    Column("note"),
)
DAYWORK_ITEMS = (
    Column("job", code),
    Column("change", code, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("cost_kind", choice("material", "plant", "subcontract"), needed=True),
    Column("description", p.parse_name, needed=True),
    Column("quantity", not_below_zero(p.parse_quantity), needed=True),
    Column("unit", needed=True),
    Column("unit_cost", not_below_zero(p.parse_money), needed=True),
    Column("reference"),
)
DAYWORK_SHEETS = (
    Column("daywork_sheet", code, needed=True),
    Column("change", code, needed=True),
    Column("from", p.parse_date, needed=True, stored_as="day_from"),
    Column("to", p.parse_date, needed=True, stored_as="day_to", ends=True),
    Column("agreed_on", p.parse_date, needed=True),
    Column("mark", choice(*MARKS), needed=True),
    Column("person", p.parse_person, needed=True),
    Column("worker_id", code),
    Column("date", p.parse_date, stored_as="day"),
    Column("agreed_hours", _hours, stored_as="agreed_ms"),
    Column("item"),
    Column("agreed_quantity", not_below_zero(p.parse_quantity)),
    Column("reason"),
    Column("document"),
)
JOB_COSTS = (
    Column("job", code),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("cost_kind", choice(*COST_KINDS), needed=True),
    Column("amount", p.parse_sum, needed=True),
    Column("forecast_remaining", not_below_zero(p.parse_sum)),
    Column("uninstalled", not_below_zero(p.parse_sum)),
)
CLAIM_PERCENTS = (
    Column("item", p.parse_name, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("percent", p.parse_percent),
    Column("amount", not_below_zero(p.parse_sum)),
    Column("on_account", p.parse_flag),
)
CERTIFIED = (
    Column("claim", p.parse_name, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("item", p.parse_name, needed=True),
    Column("amount", p.parse_sum, needed=True),
    Column("reason"),
)
PAYMENTS = (
    Column("invoice", p.parse_name, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("amount", p.parse_sum, needed=True),
    Column("reference"),
    Column("deducted", not_below_zero(p.parse_sum)),
    Column("deduction_kind", choice(*DEDUCTION_KINDS)),
    Column("accepted", p.parse_flag),
    Column("reason"),
)
ATTENDANCE = (
    Column("worker_id", code, needed=True),
    Column("date", p.parse_date, needed=True, stored_as="day"),
    Column("clock_in", p.parse_time_of_day, needed=True),
    Column("clock_out", p.parse_time_of_day, needed=True),
    Column("break_minutes", not_below_zero(p.parse_whole)),
)
LEAVE = (
    Column("worker_id", code, needed=True),
    Column("from", p.parse_date, needed=True, stored_as="day_from"),
    Column("to", p.parse_date, needed=True, stored_as="day_to", ends=True),
    Column("cause", word),
)
PAYROLL = (
    Column("worker_id", code, needed=True),
    Column("period_start", p.parse_date, needed=True),
    Column("period_end", p.parse_date, needed=True, ends=True),
    Column("pay_class", word, needed=True),
    Column("hours", p.parse_hours, needed=True, stored_as="ms"),
    Column("gross", p.parse_money, adds=True),
)
SUPPLIER_HOURS = (
    Column("supplier", p.parse_name, needed=True),
    Column("period_start", p.parse_date, needed=True),
    Column("period_end", p.parse_date, needed=True, ends=True),
    Column("hours", p.parse_hours, needed=True, stored_as="ms"),
    Column("worker_id", code),
    Column("rate", p.parse_rate),
    Column("invoice", p.parse_name),
)
PAYROLL_NOTES = (
    Column("worker_id", code),
    Column("supplier", p.parse_name),
    Column("period_start", p.parse_date, needed=True),
    Column("period_end", p.parse_date, needed=True, ends=True),
    Column("reason", choice(*REASONS_OF_PAY), needed=True),
    Column("hours", p.parse_hours, needed=True, stored_as="ms"),
    Column("kind", choice(*KINDS_OF_PAY)),
    Column("note"),
)
RULES = (
    Column("rule", needed=True),
    Column("priority", p.parse_whole, needed=True),
    Column("booked_to", code),
    Column("cause", word),
    Column("booking_code", code),
    Column("note_contains", word),
    Column("note_matches"),
    Column("worker_id", code),
    Column("trade", word),
    Column("job", code),
    Column("from", p.parse_date, stored_as="day_from"),
    Column("to", p.parse_date, stored_as="day_to", ends=True),
    Column("share", p.parse_share),
    Column("share_by", choice("fixed", CREW_HOURS)),
    Column("rework", word),
    Column("reason"),
)

# The tables that can be read by a layout, by the word of their load: one line makes it so.
LAID_OUT: Mapping[str, tuple[Column, ...]] = {
    "crew": CREW,
    "rates": RATES,
    "charge-rates": CHARGE_RATES,
    "estimate": ESTIMATE,
    "milestones": MILESTONES,
    "plan": PLAN,
    "progress": PROGRESS,
    "baseline-changes": BASELINE_CHANGES,
    "changes": CHANGES,
    "change-lines": CHANGE_LINES,
    "change-events": CHANGE_EVENTS,
    "daywork-items": DAYWORK_ITEMS,
    "daywork-sheets": DAYWORK_SHEETS,
    "job-costs": JOB_COSTS,
    "claim-percents": CLAIM_PERCENTS,
    "certified": CERTIFIED,
    "payments": PAYMENTS,
    "attendance": ATTENDANCE,
    "leave": LEAVE,
    "payroll": PAYROLL,
    "supplier-hours": SUPPLIER_HOURS,
    "payroll-notes": PAYROLL_NOTES,
    "past-work": PAST_WORK,
    "rules": RULES,
}
FIELDS_BY_TABLE: Mapping[str, tuple[str, ...]] = {
    SHEETS: MAPPED,
    **{
        table: tuple(column.name for column in columns if not column.unused)
        for table, columns in LAID_OUT.items()
    },
}
