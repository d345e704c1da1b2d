"""An independent reckoning of what a book holds after any commands, from the rules alone.

Nothing of the program is imported. Times are whole milliseconds; a line is told by its fields.
"""

from collections import Counter
from dataclasses import replace
from datetime import date

from tests.histories._book import Book
from tests.histories._comparing import Comparison
from tests.histories._lines import Entry, Fields, Line, Reissue, sheet_of


class Refused(Exception):
    """The rules say no; nothing was changed."""


class Model(Book):
    """The book as the rules have it, changed by commands."""

    # Files of sheets

    def load_sheets(self, name: str, text: str, given: list[Fields], job: str) -> dict[str, int]:
        """Load a file; return the counts of its lines."""
        is_seen = text in self.seen
        self.seen.add(text)
        load = len(self.loads)
        self.loads.append(name)
        self.texts.append(text)
        lines = [
            Line(load, number, fields, fields, self.first_state(fields))
            for number, fields in enumerate(
                (replace(each, job=each.job or job) for each in given), start=2
            )
        ]
        compared = Comparison(self, lines, is_seen=is_seen)
        for line in compared.new:
            if line.state == "booked":
                self.book(line)
        self.lines += compared.new
        self.reissues += compared.reissues
        states = Counter("booked" if line.stands else "held" for line in compared.new)
        return {
            "lines_read": len(lines),
            "booked": states["booked"],
            "held": states["held"],
            "already": len(compared.same),
        }

    def reverse_file(self, load: int) -> None:
        """Take out of the book what stands of a file, or was held: it can be loaded again.

        What was reversed or replaced by itself is there still, and what was put right by another.
        Raises: Refused when nothing of the file is to be taken out.
        """
        leaving = [
            line
            for line in self.lines
            if line.load == load and not line.gone and (line.stands or not_booked(line))
        ]
        if not leaving:
            raise Refused
        for line in leaving:
            line.gone = True
            if line.entry is not None:
                line.entry.stands = False
            else:
                line.state = "rejected"
        # The same bytes are new again.
        self.seen.discard(self.texts[load])

    # Jobs and workers

    def load_job(self, job: str, codes: set[str], *, move_hours: bool) -> None:
        """Raises: Refused when hours would leave a job, unless that was asked for."""
        before = self.jobs
        self.jobs = {**before, job: set(codes)}
        try:
            self.place_anew(asked=move_hours)
        except Refused:
            self.jobs = before
            raise

    def place_anew(self, *, asked: bool) -> None:
        """Move entries to where they belong by now.

        Raises: Refused when hours would leave a job and that was not asked for.
        """
        moves = [(each, self.place_of(each.fields)) for each in self.free_entries()]
        if not asked and any(e.place[0] and p[0] != e.place[0] for e, p in moves if e.fields.ms):
            raise Refused
        for entry, place in moves:
            entry.place = place

    def load_worker(self, worker: str) -> None:
        """Book the lines that waited for the worker; those of a re-issue wait for it."""
        self.workers.add(worker)
        for line in self.lines:
            if line.state == "worker_unknown" and line.reads.worker == worker:
                line.state = self.first_state(line.reads)
                if line.state == "booked" and self.waits_for_reissue(line):
                    line.state = "re_issue"
                elif line.state == "booked":
                    self.book(line)

    def close(self, day: date) -> None:
        """Let what is booked to a day stay where it is."""
        self.closed_to.append(day)
        for entry in self.entries():
            if entry.fields.day <= day:
                entry.closed = True

    # Lines and entries

    def book(self, line: Line) -> None:
        line.state = "booked"
        line.entry = Entry(line.reads, self.place_of(line.reads))

    def release(self, line: Line) -> None:
        """Book a held line as another; one that a re-issue brings waits for that.

        Raises: Refused when its worker is not known.
        """
        if line.reads.worker not in self.workers:
            raise Refused
        line.is_right = True
        if self.waits_for_reissue(line):
            line.state = "re_issue"
        else:
            self.book(line)

    def reject(self, line: Line) -> None:
        """End a held line without booking it, whatever was said of it before."""
        line.state, line.is_right = "rejected", False

    def correct(self, line: Line, reads: Fields) -> None:
        """Reverse the entry of a line, and book what the line reads now.

        Raises: Refused when another file has a line booked that reads so.
        """
        alike = (
            each
            for each in self.lines
            if each.stands and each.load != line.load and self.key(each.reads) == self.key(reads)
        )
        if any(alike):
            raise Refused
        line.reads = reads
        self.book(line)

    def reverse(self, line: Line) -> None:
        assert line.entry is not None
        line.entry.stands = False

    def restore(self, line: Line) -> None:
        """Let the entry of a line stand again.

        Raises: Refused when others stand in its place.
        """
        if self.is_replaced(line) or self.is_followed(line):
            raise Refused
        self.stand_again(line)

    def stand_again(self, line: Line) -> None:
        assert line.entry is not None
        if line.entry.stands:
            return
        line.replaced_by = None
        line.entry.stands = True
        if not line.entry.closed:
            line.entry.place = self.place_of(line.entry.fields)

    def is_replaced(self, line: Line) -> bool:
        """Return whether a re-issue took the line back, and what it brought for it stands.

        Where it brought nothing, what it kept stands for it.
        """
        again = line.replaced_by
        if again is None:
            return False
        given = again.days[line.reads.worker, line.reads.day]
        brought = [each for each in given if again.brings(each)]
        return any(each.stands for each in brought or given)

    def is_followed(self, line: Line) -> bool:
        """Return whether a later line of the sheet's worker-day stands in the line's place.

        Lines of the same bytes, or of one confirmed re-issue, stand beside each other.
        """
        return any(
            each.stands
            and each.load > line.load
            and self.texts[each.load] != self.texts[line.load]
            and line.reads.sheet
            and sheet_of(each.reads) == sheet_of(line.reads)
            and (each.reads.worker, each.reads.day) == (line.reads.worker, line.reads.day)
            and not self.stand_together(line, each)
            for each in self.lines
        )

    def stand_together(self, one: Line, other: Line) -> bool:
        """Return whether a confirmed re-issue gives both lines."""
        return any(
            again.confirmed and {one, other} <= set(again.lines()) for again in self.reissues
        )

    # Re-issues

    def confirm_reissue(self, reissue: Reissue) -> None:
        """Let a sheet stand as it was handed in again.

        What cannot be read waits. Raises: Refused when a line has ended without hours to stand.
        """
        if any(self.has_no_hours(line) for line in reissue.lines()):
            raise Refused
        for (worker, day), given in reissue.days.items():
            for line in self.of_day(reissue.sheet, worker, day):
                if line not in given:
                    self.take_back(line, reissue)
            for line in given:
                if line.entry is not None:
                    self.stand_again(line)
                elif self.can_be_read(line):
                    self.book(line)
        reissue.ended = reissue.confirmed = True

    def has_no_hours(self, line: Line) -> bool:
        """Return whether a line ended as another one, or was rejected and cannot be read."""
        is_rejected = line.state == "rejected" and not self.can_be_read(line)
        return line.entry is None and (line.state == "matched" or is_rejected)

    def take_back(self, line: Line, reissue: Reissue) -> None:
        if line.entry is not None:
            line.entry.stands = False
            line.replaced_by = reissue
        else:
            self.reject(line)

    def reject_reissue(self, reissue: Reissue) -> None:
        """Leave a sheet as it was; lines of another re-issue that was confirmed are that one's."""
        reissue.ended = True
        kept = {line for again in self.reissues if again.confirmed for line in again.lines()}
        for line in reissue.lines():
            if line.load == reissue.load and line.is_held and line not in kept:
                self.reject(line)


def not_booked(line: Line) -> bool:
    """Return whether a line is held or was rejected."""
    return line.is_held or line.state == "rejected"
