"""Documents issued, sent and answered, in words."""

from typing import TYPE_CHECKING

from ledger.cli.wording.endings import finished_lines
from ledger.cli.wording.pages import COMMANDS as COMMANDS
from ledger.documents.stated import stated
from ledger.domain.counting import counted
from ledger.domain.documents import INVOICES, KIND_WORDS

if TYPE_CHECKING:
    from ledger.commands.documents import Drafted, Issued, SendingRecorded
    from ledger.documents.issued import Document

MARKED = {
    "agreed": "for agreement",
    "for_record_only": "for record only",
    "advance": "of the advance",
    "final": "the final one",
}
VOWELS = "aeiou"
# What is to be recorded of a document once it is sent, besides the sending.
FOLLOWS = {
    "quotation": '`fairhours submit price --job {job} {change} --reference "{document}"`',
    "notice": (
        "`fairhours record notice --job {job} {change} --aware-on {aware_on} "
        '--document "{document}"`'
    ),
    "claim": (
        "once it is certified, if the contract asks for that: "
        "`fairhours load certified --job {job} FILE`"
    ),
    "final_account": (
        "once it is signed: `fairhours agree final-account --job {job} --person NAME "
        '--reference "{document}"`'
    ),
    "daywork_sheet": (
        "once it is signed: `fairhours load daywork-sheets --job {job} FILE`, document {document}"
    ),
}


def issued_lines(done: "Issued") -> list[str]:
    """Return what is said of a document that was issued."""
    document = done.document
    lines = [
        f"{document.document}: {_what(document)}, issued {document.issued_on}, "
        f"kept until {document.retain_until} at least"
    ]
    if done.out:
        lines.append(f"{done.out}: {counted(document.byte_count or 0, 'byte', 'bytes')}")
    lines.append(
        f"once it is sent: `fairhours record sending {document.document} --to NAME --by WAY`"
    )
    if document.kind in FOLLOWS:
        notice = stated(document.particulars) if document.kind == "notice" else None
        named = {"job": document.job, "change": document.change, "document": document.document}
        named["aware_on"] = str(notice.aware_on) if notice else None
        lines.append(FOLLOWS[document.kind].format(**named))
    return lines + finished_lines(done.finished)


def _what(document: "Document") -> str:
    revision = f", revision {document.revision}" if document.revision else ""
    days = ""
    if document.day_from:
        days = f", {document.day_from}"
        days += f" to {document.day_to}" if document.day_to != document.day_from else ""
    elif document.day_to:
        days = f", status date {document.day_to}"
    mark = f", {MARKED[document.mark]}" if document.mark else ""
    of = document.change or document.job
    if document.kind in INVOICES:
        return _invoice(document, mark)
    return f"{KIND_WORDS[document.kind]} of {of}{revision}{days}{mark}"


def _invoice(document: "Document", mark: str) -> str:
    of = f"{KIND_WORDS[document.kind]} of {document.job}{mark}"
    particulars = {
        ", claim {}": document.claim,
        ", credits {}": document.credits,
        ", due {}": document.due_on,
    }
    return of + "".join(words.format(value) for words, value in particulars.items() if value)


def drafted_lines(made: "Drafted") -> list[str]:
    """Return what is said of a draft."""
    word = KIND_WORDS[made.kind]
    what = f"draft of {'an' if word[0] in VOWELS else 'a'} {word} of {made.change or made.job}"
    return [f"{made.out}: {what}, record stamp {made.sequence}; nothing was written to the book"]


def sending_lines(done: "SendingRecorded") -> list[str]:
    """Return what is said of a document that was sent."""
    sending = done.entered.sending
    due = f"reply due {sending.reply_due}" if sending.reply_due else "no reply due"
    sent = f"sent {sending.sent_on} to {sending.sent_to} by {sending.sent_by.replace('_', ' ')}"
    repeat = f" (sending {sending.number})" if sending.number > 1 else ""
    return [f"{sending.document}: {sent}{repeat}; {due}", *finished_lines(done.finished)]


def reply_lines(done: "SendingRecorded") -> list[str]:
    """Return what is said of a reply."""
    entered, sending = done.entered, done.entered.sending
    late = ""
    if sending.reply_due and sending.replied_on and sending.replied_on > sending.reply_due:
        late = f"; it was due {sending.reply_due}"
    replacing = "; it replaces the reply recorded before" if entered.replaced else ""
    lines = [
        f"{sending.document}: {sending.replied_by} replied {sending.replied_on}{late}{replacing}"
    ]
    if entered.attached:
        lines.append(f"{sending.document}: attached {entered.attached} ({sending.attachment})")
    return lines + finished_lines(done.finished)
