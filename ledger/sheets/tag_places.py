"""Places as a person names them: a code of a job, or a kind of place with its cause."""

from collections import defaultdict
from dataclasses import dataclass

from ledger.domain.codes import code_of, word_of
from ledger.errors import Refused
from ledger.store.book import Book
from ledger.tables.near_miss import near_miss

NON_PRODUCTIVE, UNTAGGED = "NON_PRODUCTIVE", "UNTAGGED"
OUTSIDE_JOBS = ("OVERHEAD", "ABSENCE")
KINDS = (NON_PRODUCTIVE, *OUTSIDE_JOBS, UNTAGGED)
# What takes the mark of rework off an entry.
NO_REWORK = "none"


@dataclass(frozen=True)
class TagPlace:
    """Where hours belong: a code of a job or of none, or a kind of place with its cause.

    `of_own_job` says that it is in whatever job each entry is.
    """

    job: str | None
    booked_to: str
    cause: str | None = None
    of_own_job: bool = False


class TagPlaces:
    """The places that hours can be tagged to, as the book knows them."""

    def __init__(self, book: Book) -> None:
        self._jobs_of: dict[str, list[str | None]] = defaultdict(list)
        self._of_lost_time: set[str] = set()
        for job, code, booked_to, _ in book.rows("jobs/codes_known"):
            self._jobs_of[code].append(job)
            if booked_to == word_of(NON_PRODUCTIVE):
                self._of_lost_time.add(code)
        self._jobs = {row["job"] for row in book.current("job")}
        self._causes: dict[str, set[str]] = defaultdict(set)
        for row in book.current("setting"):
            section, _, rest = row["name"].partition(".")
            if section == "causes":
                self._causes[section].add(rest.partition(".")[0])
            elif section.upper() in KINDS:
                self._causes[section].add(row["value"])

    def named(self, text: str, cause: str | None = None, job: str | None = None) -> TagPlace:
        """Return the place of a text: CODE, JOB CODE, or a kind of place.

        `job` is the job of a code that several have. Raises: Refused when there is no such place.
        """
        own, code = self._apart(code_of(text))
        if code in KINDS:
            return self._of_kind(text, code, own, cause)
        if cause is not None:
            raise Refused("tag_cause_besides", place=text)
        jobs = self._jobs_of.get(code, [])
        wanted = own or job
        if wanted in jobs:
            return TagPlace(wanted, code)
        if own is not None or not jobs:
            raise self._unknown(text)
        if code in self._of_lost_time:
            return TagPlace(None, code, of_own_job=True)
        if len(jobs) > 1:
            names = tuple(sorted(map(str, jobs)))
            raise Refused("tag_place_of_jobs", place=text, jobs=names, near=f"{names[0]} {code}")
        return TagPlace(jobs[0], code)

    def listed(self) -> list[str]:
        """Return all places as they are named: those of jobs first."""
        coded = [(job, code) for code, jobs in self._jobs_of.items() for job in jobs]
        of_jobs = sorted(f"{job} {code}" for job, code in coded if job is not None)
        return [
            *of_jobs,
            *(f"{job} {word_of(UNTAGGED)}" for job in sorted(self._jobs)),
            *sorted(code for job, code in coded if job is None),
            *map(word_of, KINDS),
        ]

    @property
    def rework_causes(self) -> list[str]:
        """Return the causes of rework that the settings name, and what takes the mark off."""
        return [*sorted(self._causes["causes"]), NO_REWORK]

    def _apart(self, code: str) -> tuple[str | None, str]:
        """Return the job that a text begins with, if it does, and the rest."""
        if code in self._jobs_of or code in KINDS:
            return None, code
        for job in self._jobs:
            if code.startswith(f"{job} "):
                return job, code.removeprefix(job).strip()
        return None, code

    def _of_kind(self, text: str, kind: str, own: str | None, cause: str | None) -> TagPlace:
        if own is not None and kind in OUTSIDE_JOBS:
            raise self._unknown(text)
        if kind == UNTAGGED:
            if cause is not None:
                raise Refused("tag_cause_besides", place=text)
            return TagPlace(own, kind, of_own_job=own is None)
        section = word_of(kind)
        known = set(self._causes[section])
        if known and kind == NON_PRODUCTIVE:
            known |= self._causes["causes"]
        if cause is None and not known:
            raise Refused("tag_cause_any_missing", place=section)
        if cause is None:
            raise Refused("tag_cause_missing", place=section, causes=tuple(sorted(known)))
        word = word_of(cause)
        if known and word not in known:
            raise Refused("tag_cause_unknown", cause=cause, causes=tuple(sorted(known)))
        return TagPlace(own, kind, word, of_own_job=own is None and kind == NON_PRODUCTIVE)

    def rework(self, text: str) -> str:
        """Return a cause of rework. Raises: Refused when the settings name others alone."""
        word, known = word_of(text), self._causes["causes"]
        if word != NO_REWORK and known and word not in known:
            raise Refused("tag_rework_unknown", cause=text, causes=tuple(self.rework_causes))
        return word

    def _unknown(self, text: str) -> Refused:
        names = {word_of(name): name for name in (*self.listed(), *self._jobs_of)}
        near = near_miss(text, names)
        if near is None:
            return Refused("tag_place_unknown", place=text)
        return Refused("tag_place_near", place=text, near=names[near])
