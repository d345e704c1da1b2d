"""New lines kept: each one row, with the way it is held or booked, and its note."""

from ledger.sheets.places import stage_whats
from ledger.sheets.sheet_files import SheetFile
from ledger.sheets.staging import stage_raw_of_held
from ledger.store.batches import Batch


def keep_lines(batch: Batch, sheets: SheetFile, raw: str | None, *, has_held: bool) -> None:
    """Keep the judged lines of the file kept last that are new: what many share stands once.

    `raw` is that of the lines as they were read, `has_held` whether any is held.
    """
    book = batch.book
    # Cells of a text that was refused if it held a mark hold none; those of workbooks may, and a
    # name that leads to nobody has one before it.
    is_looked_at = raw is not None and not sheets.names_workers
    append = batch.append_looked_at if is_looked_at else batch.append_query
    stage_whats(book)
    batch.append_query("what", "sheets/whats_to_keep")
    if book.stage("note", "sheets/new_notes", last_note_row=batch.last_row("note")):
        append("note", "sheets/notes_to_keep")
    inputs = {"file_row": batch.last_row("file"), "is_in_lines": sheets.is_in_lines}
    append("line", "sheets/lines_to_keep", **inputs)
    if has_held:
        stage_raw_of_held(book, raw)
        batch.append_query("held_text", "sheets/lines_to_hold")
