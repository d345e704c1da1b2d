"""The hours behind the daywork of a claim, from the book."""

from itertools import groupby

from ledger.changes.requests import OWNER, changes_of
from ledger.documents.issued_claims import Claim, claims_of
from ledger.domain.codes import code_of
from ledger.errors import Refused
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.evidence.daywork_backup import BackupLine, BackupSum, DayworkBackup
from ledger.reports.identity import known_job, stamp_of, yard_of
from ledger.store.book import Book


def daywork_backup(book: Book, job: str, claim: str, commands: Commands = NONE) -> DayworkBackup:
    """Return the hours behind the daywork of a claim, by its number or as it is printed.

    Raises: Refused when there is no such job or claim, or it has no daywork by hours.
    """
    known_job(book, job)
    claimed = _claim(book, job, claim)
    lines = tuple(
        BackupLine(day, change, worker, trade or "", ms, sheet or "")
        for change, day, worker, trade, ms, sheet in book.rows(
            "owner/claimed_daywork", job=job, document=claimed.document
        )
    )
    if not lines:
        raise Refused("backup_empty", job=job, claim=claimed.number)
    card, stamp = book.records("owner/job", job=job)[0], stamp_of(book)
    titles = {
        code: each.facts["title"] or "" for code, each in changes_of(book, job, OWNER).items()
    }
    grouped = ((code, list(own)) for code, own in groupby(lines, key=lambda line: line.change))
    return DayworkBackup(
        yard=yard_of(book),
        job=job,
        title=card["title"] or "",
        owner=card["owner"] or "",
        claim=claimed.number,
        document=claimed.document,
        day_to=claimed.day,
        known_at=stamp,
        remade_by=commands.makes(
            Remade("daywork", stamp.sequence, claimed.day, job, claim=claimed.number)
        ),
        rehearsal=book.rehearsal,
        sums=tuple(
            BackupSum(code, titles.get(code, ""), sum(line.ms for line in own), len(own))
            for code, own in grouped
        ),
        lines=lines,
    )


def _claim(book: Book, job: str, named: str) -> Claim:
    claims = claims_of(book, job)
    wanted = code_of(named)
    for each in claims:
        if wanted in {str(each.number), code_of(each.document)}:
            return each
    known = tuple(each.document for each in claims)
    if not known:
        raise Refused("claim_none_issued", job=job)
    raise Refused("claim_unknown", job=job, claim=named, claims=known)
