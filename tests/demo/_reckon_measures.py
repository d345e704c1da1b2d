"""What was measured of packages, read a second time: shares earned, starts, finishes, estimates."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from tests.demo._reckon_files import Fact, Files, Row, a_day, hours_ms

Part = tuple[str, str]  # a package or variation, and a trade
NONE, WHOLE = Fraction(0), Fraction(1)


@dataclass(frozen=True)
class Package:
    """What says how a package of one trade is planned and measured."""

    row: Row
    milestones: tuple[Row, ...] = ()

    @property
    def technique(self) -> str:
        return self.row.get("technique") or "percent_complete"

    @property
    def kind(self) -> str:
        return self.row.get("package_kind") or "work"

    @property
    def weights(self) -> dict[str, Fraction]:
        """Return the milestones' shares of the whole, by name."""
        total = sum(Fraction(row["weight"]) for row in self.milestones)
        return {row["milestone"]: Fraction(row["weight"]) / total for row in self.milestones}


class Measures:
    """The measurements of one job, as known before a load or in the end."""

    def __init__(self, files: Files, job: str, before: int | None = None) -> None:
        self.by_package: dict[str, list[Fact]] = {}
        facts = files.facts("progress", job, before=before)
        for fact in sorted(facts, key=in_order):
            self.by_package.setdefault(fact.row["work_package"], []).append(fact)

    def of(self, part: Part, day: date) -> list[Fact]:
        """Return the part's measurements by the day, oldest first."""
        own = self.by_package.get(part[0], [])
        return [
            fact
            for fact in own
            if fact.row.get("trade", "") in ("", part[1]) and a_day(fact.row["date"]) <= day
        ]

    def of_package(self, package: str, day: date) -> list[Fact]:
        """Return a package's measurements by the day, oldest first, whatever their trade."""
        own = self.by_package.get(package, [])
        return [fact for fact in own if a_day(fact.row["date"]) <= day]

    def finished(self, part: Part, day: date) -> bool:
        return any(reached(fact.row, "finished", day) for fact in self.of(part, date.max))

    def days(self) -> list[date]:
        """Return the day of every measurement."""
        return [a_day(fact.row["date"]) for facts in self.by_package.values() for fact in facts]

    def newest(self, day: date) -> date | None:
        return max((when for when in self.days() if when <= day), default=None)

    def to_complete(self, part: Part, day: date) -> Fact | None:
        """Return the part's newest estimate to complete by the day."""
        own = [f for f in self.of(part, day) if f.row.get("estimate_to_complete_hours")]
        return own[-1] if own else None


def in_order(fact: Fact) -> tuple[str, bool, int]:
    """Return the order of measurements: by day, those of one trade after those of all."""
    return fact.row["date"], bool(fact.row.get("trade")), fact.place


def reached(row: Row, name: str, day: date) -> bool:
    return bool(row.get(name)) and a_day(row[name]) <= day


def last(values: Iterable[str]) -> Fraction:
    """Return the last value that is written, 0 if none is."""
    written = [value for value in values if value]
    return Fraction(written[-1]) if written else NONE


def share(package: Package, facts: list[Fact]) -> Fraction:
    """Return the share earned under the package's technique by what was measured."""
    rows = [fact.row for fact in facts]
    match package.technique:
        case "percent_complete":
            return last(row.get("percent", "") for row in rows) / 100
        case "units_complete":
            done = last(row.get("quantity_done", "") for row in rows)
            at_completion = last(row.get("quantity_at_completion", "") for row in rows)
            return min(WHOLE, done / max(Fraction(package.row["quantity"]), at_completion))
        case "weighted_milestone":
            names = {row.get("milestone", "") for row in rows}
            return sum((w for name, w in package.weights.items() if name in names), NONE)
        case "fixed_formula":
            if any(row.get("finished") for row in rows):
                return WHOLE
            started = any(row.get("started") for row in rows)
            return Fraction(package.row.get("start_share") or "0") * started
    return NONE


def estimate_ms(fact: Fact) -> int:
    return hours_ms(fact.row["estimate_to_complete_hours"])
