"""What follows from every write: hours moved, and doubts raised."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ledger.outcomes import Outcome


@dataclass(frozen=True)
class Move:
    """Time in ms of some entries that moves from one place of a job to another, None: no job."""

    from_job: str | None
    from_place: str
    to_job: str | None
    to_place: str
    entries: int
    ms: int


@dataclass(frozen=True)
class KeptEntry:
    """An entry of a closed period, or a claimed one, that codes and rules would book elsewhere."""

    entry: str
    day: date
    worker_id: str
    ms: int
    from_place: str | None
    to_place: str | None
    is_claimed: bool = False


@dataclass(frozen=True)
class PlacesPosted(Outcome):
    """What a write moved: held lines booked now, entries moved, and those that stay.

    `matched` lines ended as the job is known now and a line that reads so is booked; `named` ones
    as the worker is, whose name they have. `reissued` lines wait for a person, as their sheet has
    others of that worker and day.
    `kept` entries stay where they were booked, although codes and rules would book them elsewhere;
    `late` is what moved of closed periods, as it was asked for.
    """

    released: int = 0
    matched: int = 0
    moves: tuple[Move, ...] = ()
    kept: tuple[KeptEntry, ...] = ()
    late: tuple[Move, ...] = ()
    named: int = 0
    reissued: int = 0

    def together(self, other: "PlacesPosted") -> "PlacesPosted":
        """Return what this and another moved, and kept where it was."""
        return PlacesPosted(
            self.released + other.released,
            self.matched + other.matched,
            self.moves + other.moves,
            tuple(sorted(self.kept + other.kept, key=lambda entry: entry.day)),
            self.late + other.late,
            self.named + other.named,
            self.reissued + other.reissued,
        )


@dataclass(frozen=True)
class DoubtsRaised(Outcome):
    """Doubts about the entries of a batch: how many of each kind, the gravest first."""

    kinds: Mapping[str, int]
    warned: int
