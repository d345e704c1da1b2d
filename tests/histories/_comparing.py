"""A file compared with the reckoned book: which lines it has, and what the others may be."""

from collections import Counter
from collections.abc import Callable
from datetime import date

from tests.histories._book import Book
from tests.histories._lines import (
    ASKED,
    Fields,
    Line,
    Reissue,
    by_worker_day,
    sheet_of,
)


class Comparison:
    """The lines of one file beside those of the book; the file is the newest load."""

    def __init__(self, book: Book, lines: list[Line], *, is_seen: bool) -> None:
        self.book = book
        self.lines = lines
        self.is_seen = is_seen
        self.same = self.pairs()
        self.new = [line for line in lines if line not in self.same]
        self.ask()
        self.hold_copies()
        self.reissues = self.hold_reissues()

    def pairs(self) -> dict[Line, Line]:
        """Return the line of the book that each line is: as it was written, else as it reads."""
        free = self.book.present()
        found: dict[Line, Line] = {}
        for reads in (False, True):
            for line in self.lines:
                if line in found:
                    continue
                for had in free:
                    key = self.book.key(had.reads if reads else had.was)
                    if key == self.book.key(line.reads):
                        found[line] = had
                        free.remove(had)
                        break
        return found

    def left(self) -> list[Line]:
        """Return the lines of the book that no line of the file is, or may be by now."""
        taken = {*self.same.values(), *(line.like for line in self.new)}
        return [line for line in self.book.present() if line not in taken]

    # Questions of single lines

    def ask(self) -> None:
        """Hold what differs in the job alone; of the rest, what differs in the times alone."""
        for reason, alike in (("job_differs", self.job_alone), ("times_differ", self.times_alone)):
            self.ask_of_each(reason, alike)

    def ask_of_each(self, reason: str, alike: Callable[[Fields, Fields], bool]) -> None:
        for line in self.new:
            if line.like is None:
                like = (had for had in self.left() if alike(line.reads, had.reads))
                line.like = next(like, None)
                line.state = reason if line.like else line.state

    def job_alone(self, one: Fields, other: Fields) -> bool:
        """Return whether two lines differ in the job alone, which one of them does not name."""
        without = self.book.without_job
        return bool(one.job) != bool(other.job) and without(one) == without(other)

    def times_alone(self, one: Fields, other: Fields) -> bool:
        """Return whether two lines differ in the times alone, which one of them does not give."""
        given = bool(one.start or one.finish), bool(other.start or other.finish)
        without = self.book.without_times
        return given[0] != given[1] and without(one) == without(other)

    # Whole sheets under another name

    def hold_copies(self) -> None:
        """Hold each sheet whose lines all stand under other names, but for those held before."""
        for sheet in sorted({sheet_of(line.reads) for line in self.lines}):
            own = [line for line in self.lines if sheet_of(line.reads) == sheet]
            asked = [line for line in own if not self.is_held_before(line)]
            if all(line in self.new and line.like is None for line in asked):
                self.hold_copy(sheet, asked)

    def is_held_before(self, line: Line) -> bool:
        had = self.same.get(line)
        return had is not None and (had.is_held or had.state == "rejected")

    def hold_copy(self, sheet: str, own: list[Line]) -> None:
        others = [
            line
            for line in self.left()
            if sheet_of(line.reads) != sheet and (line.stands or line.is_held)
        ]
        if own and self.stand_among(own, others):
            for line in own:
                line.state = "same_as_sheet"

    def stand_among(self, own: list[Line], had: list[Line]) -> bool:
        """Return whether each line has one of its own that reads, or was written, as it does."""
        key = self.book.without_sheet
        wanted = Counter(key(line.reads) for line in own)
        readings = [{key(each.reads), key(each.was)} for each in had]
        enough = all(sum(each in ways for ways in readings) >= wanted[each] for each in wanted)
        return enough and sum(bool(ways & set(wanted)) for ways in readings) >= len(own)

    # Sheets handed in again

    def hold_reissues(self) -> list[Reissue]:
        """Hold the new lines of each worker-day that its sheet has otherwise; return these."""
        found: dict[str, Reissue] = {}
        for (sheet, worker, day), own in by_worker_day(self.lines).items():
            given = [line for line in own if line.state != "same_as_sheet"]
            new = [line for line in given if line in self.new]
            kept = [self.same[line] for line in given if line in self.same]
            had = self.book.of_day(sheet, worker, day)
            missing = self.missing(had, [*kept, *(line.like for line in new)])
            if self.puts_right(missing, new):
                for line in missing:
                    line.state = "matched"
            elif had and self.differs(had, kept, missing, new):
                if self.was_asked(sheet, (worker, day), [*kept, *new]):
                    continue
                again = found.setdefault(sheet, Reissue(len(self.book.loads) - 1, sheet))
                again.days[worker, day] = [*kept, *new]
                for line in new:
                    line.state = "re_issue" if self.book.can_be_read(line) else line.state
        return [*found.values()]

    def missing(self, had: list[Line], found: list[Line | None]) -> list[Line]:
        """Return the lines of a day that a file is without; one with a question is not missed."""
        return [line for line in had if line not in found and line.state not in ASKED]

    def differs(
        self, had: list[Line], kept: list[Line], missing: list[Line], new: list[Line]
    ) -> bool:
        """Return whether a worker-day is given otherwise than the sheet has it.

        Lines that no longer stand are those of an earlier issue: what they come without is no news.
        Neither is it in a file of the same bytes.
        """
        if any(line.like is None for line in new):
            return True
        is_older = any(line not in had for line in kept)
        return bool(missing) and not is_older and bool(new or not self.is_seen)

    def was_asked(self, sheet: str, of: tuple[str, date], given: list[Line]) -> bool:
        """Return whether these very lines wait as a re-issue, or were rejected as one."""
        return any(
            set(again.days.get(of, ())) == set(given)
            for again in self.book.reissues
            if again.sheet == sheet and not again.confirmed
        )

    def puts_right(self, missing: list[Line], new: list[Line]) -> bool:
        """Return whether new lines give held ones again readably, one by one, by their codes."""
        return (
            bool(missing)
            and all(line.state == "over_24_hours" for line in missing)
            and all(line.state == "booked" for line in new)
            and Counter(each.reads.code for each in missing)
            == Counter(each.reads.code for each in new)
        )
