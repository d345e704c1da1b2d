"""Changes that are not approved: what their latest price adds, and what they took."""

from dataclasses import dataclass

from ledger.baseline.postings import standard_rate
from ledger.performance.basis import Basis


@dataclass(frozen=True)
class Unapproved:
    """The changes of a job that are not approved, in the scope of its measures."""

    basis: Basis

    @property
    def requested(self) -> list[str]:
        """Return the codes of the changes that are requested by the day and not approved."""
        return [
            code
            for code, change in self.basis.baseline.changes.items()
            if not self.basis.states[code].approved
            and change.facts["requested_on"] <= self.basis.day
        ]

    @property
    def codes(self) -> list[str]:
        """Return every change not approved that was requested or has time booked."""
        booked = {part for part in self.basis.actuals.places if self.basis.is_outside(part)}
        return sorted({*self.requested, *booked})

    def amounts(self, code: str) -> tuple[int, int, int]:
        """Return added budget, AC and forecast of a change that is not approved."""
        actual = self.basis.actuals.of_part(code)
        state = self.basis.states[code]
        if state.instruction == "none":
            return 0, actual, actual
        added = self._added(code)
        return added, actual, actual if state.instruction == "stopped" else max(added, actual)

    def added_ms(self, code: str) -> dict[str, int]:
        """Return by trade the hours that the latest price of an instructed change adds."""
        state, change = self.basis.states[code], self.basis.baseline.changes[code]
        if state.instruction == "none":
            return {}
        offered = self.basis.scope.offered_only
        return change.added_ms(
            state.submitted_revision if offered else change.latest_revision(self.basis.day)
        )

    def _added(self, code: str) -> int:
        added = self.added_ms(code)
        if self.basis.scope.unit == "hours":
            return sum(added.values())
        book, day = self.basis.book, self.basis.day
        rates = {trade: standard_rate(book, trade, day) for trade in added}
        return sum(ms * (rates[trade] or 0) for trade, ms in added.items())  # All have one.
