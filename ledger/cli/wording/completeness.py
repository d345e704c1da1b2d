"""Why figures are headed incomplete, in words."""

from functools import singledispatch

from ledger.cli.wording.reasons import words_of
from ledger.domain.allocation import to_places
from ledger.domain.counting import counted, hours_text
from ledger.outcomes import Outcome, Reason
from ledger.performance import completeness


@singledispatch
def reason(why: Outcome) -> str:
    """Return why figures are incomplete, or one of them undefined or as it is."""
    raise AssertionError(f"no words for {type(why).__name__}")


@reason.register
def of_sheets(why: completeness.SheetsOut) -> str:
    return f"{why.sheets_in} of {counted(why.expected, 'sheet is', 'sheets are')} in"


@reason.register
def of_doubtful(why: completeness.HoursDoubtful) -> str:
    share = to_places((why.held_ms + why.untagged_ms) * 100, 1, why.whole_ms)
    return (
        f"{hours_text(why.held_ms)} h are held and {hours_text(why.untagged_ms)} h untagged, "
        f"{share} % of {hours_text(why.whole_ms)} h"
    )


@reason.register
def of_nothing(why: completeness.NothingBy) -> str:
    return f"no {why.what} by {why.day}"


@reason.register
def of_dates(why: completeness.DatesApart) -> str:
    return f"the newest measurement is dated {why.measurement}, the newest entry {why.entry}"


@reason.register
def of_unmeasured(why: completeness.BookedSinceMeasured) -> str:
    share = to_places(sum(each.ms for each in why.packages) * 100, 1, why.actual_ms)
    named = ", ".join(map(_package, why.packages))
    return f"{share} % of AC is booked to packages after their last measurement: {named}"


@reason.register
def of_figure(why: Reason) -> str:
    return words_of(why)


def _package(each: completeness.Unmeasured) -> str:
    since = f"since {each.measured_on}" if each.measured_on else "never measured"
    return f"{each.package} {hours_text(each.ms)} h {since}"
