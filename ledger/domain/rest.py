"""Rest and working time of people: what is worth a caution, never a finding.

Source: Directive 2003/88/EC, art. 3 to 6. Who it holds for, over which days an average is taken and
what counts as working time is for local law, collective agreements and the contract.
"""

from ledger.domain.parsing import MS_PER_HOUR

WEEK_AVERAGE, DAILY_REST, BREAK, WEEKLY_REST = (
    "week_average",
    "daily_rest",
    "break",
    "weekly_rest",
)
CAUTIONS = (WEEK_AVERAGE, DAILY_REST, BREAK, WEEKLY_REST)
WEEK_HOURS = 48
LIMITS = {
    "average_ms": WEEK_HOURS * MS_PER_HOUR,
    "rest_ms": 11 * MS_PER_HOUR,
    "unbroken_ms": 6 * MS_PER_HOUR,
    "days_running": 7,
}
