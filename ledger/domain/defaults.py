"""The yard's settings and what they are when nothing is said."""

from ledger.domain import documents, doubts, pay

SETTINGS = {
    "yard.name": "",
    "yard.currency": "",
    "yard.address": "[]",
    "yard.postcode": "",
    "yard.city": "",
    "yard.country": "",
    "yard.tax_number": "",
    "yard.tax_registration": "",
    "yard.registration": "",
    "yard.electronic_address": "",
    "yard.zone": "UTC",
    "yard.week_start": "monday",
    "yard.holidays": "",
    "yard.paper": "A4",
    "yard.locale": "en",
    "yard.logo": "",
    "yard.claim_title": "Progress claim",
    "yard.retain_until": str(documents.RETAINED_YEARS),
    "bank_account.account": "",
    "bank_account.name": "",
    "bank_account.bank": "",
    **{f"number_series.{kind}": form for kind, form in documents.FORMS.items()},
    **{f"reply_limits.{kind}": "" for kind in documents.KINDS},
    "measuring.forecast_threshold_percent": "15",
    "reminder_levels.decision_days": "14",
    "reminder_levels.hours_percent": "80",
    "reminder_levels.days_ahead": "14",
    "accounts.work_in_progress": "work_in_progress",
    "accounts.overhead": "overhead",
    "accounts.absence": "absence",
    "accounts.untagged": "untagged",
    "accounts.overtime_premium": "overtime_premium",
    "accounts.labour_recovered": "labour_recovered",
    "accounts.leave_in_rate": "no",
    **doubts.SETTINGS,
    **pay.SETTINGS,
}

# Settings that are printed and decide nothing: what was recorded of them can be erased.
PRINTED_SETTINGS = (
    *("yard.name", "yard.address", "yard.postcode", "yard.city", "yard.tax_number"),
    *("yard.tax_registration", "yard.registration", "yard.electronic_address"),
    *("bank_account.account", "bank_account.name", "bank_account.bank"),
)
