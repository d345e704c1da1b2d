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
from ledger.tables.layouts import MAPPED, SHEETS
from ledger.tables.small_tables import FileColumn, choice, not_below_zero, unused

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
    FileColumn("worker_id", code, needed=True),
    FileColumn("name", p.parse_name, needed=True),
    FileColumn("trade", word, needed=True),
    FileColumn("grade", word),
    FileColumn("active_from", p.parse_date),
    FileColumn("active_to", p.parse_date, ends=True),
    FileColumn("employment", choice("hourly", "salaried", "agency", "subcontract")),
    FileColumn("supplier"),
    FileColumn("contract_hours_per_week", _hours, stored_as="contract_ms"),
)
RATES = (
    FileColumn("trade", word),
    FileColumn("effective_from", p.parse_date, needed=True),
    FileColumn("cost_per_hour", p.parse_rate, needed=True),
    FileColumn("grade", word),
    FileColumn("worker_id", code),
)
CHARGE_RATES = (
    FileColumn("trade", word, needed=True),
    FileColumn("effective_from", p.parse_date, needed=True),
    FileColumn("charge_per_hour", p.parse_rate, needed=True),
    FileColumn("grade", word),
    *unused("pay_class"),
)
PAST_WORK = (
    FileColumn("past_job", p.parse_name, needed=True),
    FileColumn("work_kind", word, needed=True),
    FileColumn("unit", word, needed=True),
    FileColumn("trade", word, needed=True),
    FileColumn("quantity", p.parse_quantity, needed=True),
    FileColumn("hours", _hours, needed=True, stored_as="ms"),
)
# What is to be built, to draw up an estimate of it.
QUANTITIES = (
    FileColumn("work_package", code, needed=True),
    FileColumn("title", p.parse_name, needed=True),
    FileColumn("control_account", p.parse_name, needed=True),
    FileColumn("work_kind", word, needed=True),
    FileColumn("unit", word, needed=True),
    FileColumn("quantity", p.parse_quantity, needed=True),
    FileColumn("planned_start", p.parse_date, needed=True),
    FileColumn("planned_finish", p.parse_date, needed=True),
)
ESTIMATE = (
    FileColumn("work_package", code, needed=True),
    FileColumn("title", p.parse_name, needed=True),
    FileColumn("control_account", p.parse_name, needed=True),
    FileColumn("trade", word, needed=True),
    FileColumn("budget_hours", _hours, needed=True, stored_as="budget_ms"),
    FileColumn("planned_start", p.parse_date, needed=True),
    FileColumn("planned_finish", p.parse_date, needed=True, ends=True),
    FileColumn("technique", choice(*TECHNIQUES), needed=True),
    FileColumn("spread", choice("even", "early", "late", "middle")),
    FileColumn("quantity", not_below_zero(p.parse_decimal)),
    FileColumn("unit"),
    FileColumn("start_share", p.parse_share),
    FileColumn("base_package", code),
    FileColumn("cost_rate", p.parse_rate),
    FileColumn("package_kind", choice("work", "contingency", "planning")),
    FileColumn("work_kind"),
)
MILESTONES = (
    FileColumn("work_package", code, needed=True),
    FileColumn("milestone", word, needed=True),
    FileColumn("weight", not_below_zero(p.parse_decimal), needed=True),
    FileColumn("planned_date", p.parse_date, needed=True),
)
PLAN = (
    FileColumn("work_package", code, needed=True),
    FileColumn("date", p.parse_date, needed=True, stored_as="day"),
    FileColumn("hours", _hours, needed=True, stored_as="ms"),
    FileColumn("trade", word),
)
PROGRESS = (
    FileColumn("work_package", code, needed=True),
    FileColumn("date", p.parse_date, needed=True, stored_as="day", ends=True),
    FileColumn("trade", word),
    FileColumn("percent", p.parse_percent),
    FileColumn("quantity_done", not_below_zero(p.parse_decimal)),
    FileColumn("quantity_at_completion", not_below_zero(p.parse_decimal)),
    FileColumn("milestone", word),
    FileColumn("started", p.parse_date),
    FileColumn("finished", p.parse_date, ends=True),
    FileColumn("estimate_to_complete_hours", _hours, stored_as="estimate_to_complete_ms"),
    FileColumn("note"),
)
BASELINE_CHANGES = (
    FileColumn("name", p.parse_name, needed=True),
    FileColumn("date", p.parse_date, needed=True, stored_as="day"),
    FileColumn("person", p.parse_person, needed=True),
    FileColumn("reference"),
    FileColumn("work_package", code, needed=True),
    FileColumn("trade", word),
    FileColumn("hours", p.parse_hours, needed=True, stored_as="ms"),
    FileColumn("contract_sum", p.parse_sum),
)
CHANGES = (
    FileColumn("change", code, needed=True),
    FileColumn("title", p.parse_name, needed=True),
    FileColumn("requested_by", p.parse_person, needed=True),
    FileColumn("requested_on", p.parse_date, needed=True),
    FileColumn("change_basis", choice(*CHANGE_BASES), needed=True),
    FileColumn("origin", choice(*ORIGINS)),
    FileColumn("description"),
    FileColumn("decision_needed_by", p.parse_date),
    FileColumn("days_requested", p.parse_whole),
)
CHANGE_LINES = (
    FileColumn("change", code, needed=True),
    FileColumn("price_kind", choice(*PRICE_KINDS, "addition"), needed=True),
    FileColumn("description", needed=True),
    FileColumn("revision", p.parse_whole),
    FileColumn("trade", word),
    FileColumn("grade", word),
    FileColumn("hours", p.parse_hours, stored_as="ms"),
    FileColumn("quantity", p.parse_decimal),
    FileColumn("unit"),
    FileColumn("unit_price", not_below_zero(p.parse_money)),
    FileColumn("work_package", code),
    FileColumn("planned_start", p.parse_date),
    FileColumn("planned_finish", p.parse_date, ends=True),
    FileColumn("technique", choice(*TECHNIQUES)),
    FileColumn("addition_percent", not_below_zero(_percent), kind="number"),
    FileColumn("addition_on", choice(*ADDED_ON)),
    FileColumn("addition_of", price_kinds),
    FileColumn("addition_method", choice(*METHODS)),
    FileColumn("provisional_sum", p.parse_name),
    FileColumn("owner_text"),
)
CHANGE_EVENTS = (
    FileColumn("change", code, needed=True),
    FileColumn("event", choice(*EVENTS), needed=True),
    FileColumn("date", p.parse_date, needed=True, stored_as="day"),
    FileColumn("person", p.parse_person, needed=True),
    FileColumn("revision", p.parse_whole),
    FileColumn("reference"),
    FileColumn("valid_until", p.parse_date),
    FileColumn("rough", p.parse_flag),
    FileColumn("not_to_exceed", p.parse_flag),
    FileColumn("days_granted", p.parse_whole),
    FileColumn("condition"),
    FileColumn("agreed_value", not_below_zero(p.parse_sum)),
    FileColumn("agreed_hours", _hours, stored_as="agreed_ms"),
    FileColumn("days_requested", not_below_zero(p.parse_whole)),
    FileColumn("aware_on", p.parse_date),
    FileColumn("received_on", p.parse_date),
    FileColumn("document"),
    FileColumn("note"),
)
DAYWORK_ITEMS = (
    FileColumn("job", code),
    FileColumn("change", code, needed=True),
    FileColumn("date", p.parse_date, needed=True, stored_as="day"),
    FileColumn("cost_kind", choice("material", "plant", "subcontract"), needed=True),
    FileColumn("description", p.parse_name, needed=True),
    FileColumn("quantity", not_below_zero(p.parse_quantity), needed=True),
    FileColumn("unit", needed=True),
    FileColumn("unit_cost", not_below_zero(p.parse_money), needed=True),
    FileColumn("reference"),
)
DAYWORK_SHEETS = (
    FileColumn("daywork_sheet", code, needed=True),
    FileColumn("change", code, needed=True),
    FileColumn("from", p.parse_date, needed=True, stored_as="day_from"),
    FileColumn("to", p.parse_date, needed=True, stored_as="day_to", ends=True),
    FileColumn("agreed_on", p.parse_date, needed=True),
    FileColumn("mark", choice(*MARKS), needed=True),
    FileColumn("person", p.parse_person, needed=True),
    FileColumn("worker_id", code),
    FileColumn("date", p.parse_date, stored_as="day"),
    FileColumn("agreed_hours", _hours, stored_as="agreed_ms"),
    FileColumn("item"),
    FileColumn("agreed_quantity", not_below_zero(p.parse_quantity)),
    FileColumn("reason"),
    FileColumn("document"),
)
JOB_COSTS = (
    FileColumn("job", code),
    FileColumn("date", p.parse_date, needed=True, stored_as="day"),
    FileColumn("cost_kind", choice(*COST_KINDS), needed=True),
    FileColumn("amount", p.parse_sum, needed=True),
    FileColumn("forecast_remaining", not_below_zero(p.parse_sum)),
    FileColumn("uninstalled", not_below_zero(p.parse_sum)),
)
CLAIM_PERCENTS = (
    FileColumn("item", p.parse_name, needed=True),
    FileColumn("date", p.parse_date, needed=True, stored_as="day"),
    FileColumn("percent", p.parse_percent),
    FileColumn("amount", not_below_zero(p.parse_sum)),
    FileColumn("on_account", p.parse_flag),
)
CERTIFIED = (
    FileColumn("claim", p.parse_name, needed=True),
    FileColumn("date", p.parse_date, needed=True, stored_as="day"),
    FileColumn("item", p.parse_name, needed=True),
    FileColumn("amount", p.parse_sum, needed=True),
    FileColumn("reason"),
)
PAYMENTS = (
    FileColumn("invoice", p.parse_name, needed=True),
    FileColumn("date", p.parse_date, needed=True, stored_as="day"),
    FileColumn("amount", p.parse_sum, needed=True),
    FileColumn("reference"),
    FileColumn("deducted", not_below_zero(p.parse_sum)),
    FileColumn("deduction_kind", choice(*DEDUCTION_KINDS)),
    FileColumn("accepted", p.parse_flag),
    FileColumn("reason"),
)
ATTENDANCE = (
    FileColumn("worker_id", code, needed=True),
    FileColumn("date", p.parse_date, needed=True, stored_as="day"),
    FileColumn("clock_in", p.parse_time_of_day, needed=True),
    FileColumn("clock_out", p.parse_time_of_day, needed=True),
    FileColumn("break_minutes", not_below_zero(p.parse_whole)),
)
LEAVE = (
    FileColumn("worker_id", code, needed=True),
    FileColumn("from", p.parse_date, needed=True, stored_as="day_from"),
    FileColumn("to", p.parse_date, needed=True, stored_as="day_to", ends=True),
    FileColumn("cause", word),
)
PAYROLL = (
    FileColumn("worker_id", code, needed=True),
    FileColumn("period_start", p.parse_date, needed=True),
    FileColumn("period_end", p.parse_date, needed=True, ends=True),
    FileColumn("pay_class", word, needed=True),
    FileColumn("hours", p.parse_hours, needed=True, stored_as="ms"),
    FileColumn("gross", p.parse_money, adds=True),
)
SUPPLIER_HOURS = (
    FileColumn("supplier", p.parse_name, needed=True),
    FileColumn("period_start", p.parse_date, needed=True),
    FileColumn("period_end", p.parse_date, needed=True, ends=True),
    FileColumn("hours", p.parse_hours, needed=True, stored_as="ms"),
    FileColumn("worker_id", code),
    FileColumn("rate", p.parse_rate),
    FileColumn("invoice", p.parse_name),
)
PAYROLL_NOTES = (
    FileColumn("worker_id", code),
    FileColumn("supplier", p.parse_name),
    FileColumn("period_start", p.parse_date, needed=True),
    FileColumn("period_end", p.parse_date, needed=True, ends=True),
    FileColumn("reason", choice(*REASONS_OF_PAY), needed=True),
    FileColumn("hours", p.parse_hours, needed=True, stored_as="ms"),
    FileColumn("kind", choice(*KINDS_OF_PAY)),
    FileColumn("note"),
)
RULES = (
    FileColumn("rule", needed=True),
    FileColumn("priority", p.parse_whole, needed=True),
    FileColumn("booked_to", code),
    FileColumn("cause", word),
    FileColumn("booking_code", code),
    FileColumn("note_contains", word),
    FileColumn("note_matches"),
    FileColumn("worker_id", code),
    FileColumn("trade", word),
    FileColumn("job", code),
    FileColumn("from", p.parse_date, stored_as="day_from"),
    FileColumn("to", p.parse_date, stored_as="day_to", ends=True),
    FileColumn("share", p.parse_share),
    FileColumn("share_by", choice("fixed", CREW_HOURS)),
    FileColumn("rework", word),
    FileColumn("reason"),
)

# The tables that can be read by a layout, by the word of their load: one line makes it so.
LAID_OUT: Mapping[str, tuple[FileColumn, ...]] = {
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
