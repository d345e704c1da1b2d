"""The yard's settings and what they are when nothing is said."""

SETTINGS = {
    "yard.name": "",
    "yard.currency": "",
    "yard.address": "[]",
    "yard.tax_number": "",
    "yard.zone": "UTC",
    "yard.week_start": "monday",
    "yard.holidays": "",
    "yard.daily_limit_hours": "16",
    "yard.paper": "A4",
    "yard.logo": "",
    "measuring.forecast_threshold_percent": "15",
}
