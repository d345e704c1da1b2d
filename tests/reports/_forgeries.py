"""Forgeries of an evidence pack, each with what its script is to say of it."""

from collections.abc import Callable
from typing import Any

from ledger.reports.evidence.checking.pack_seals import leaf
from tests.reports._pack import Pack

Forgery = Callable[[Pack], object]


def cell(name: str, column: str, text: str, place: int = 0) -> Forgery:
    """Return what writes another text into a cell of a CSV file."""
    return lambda pack: pack.table(name, lambda rows: rows[place].update({column: text}))


# -- what leads to the record stamp ----------------------------------------------------------------


def row_made_up(pack: Pack) -> None:
    row = pack.row("line")
    pack.proof["rows"].append({**row, "row": 353, "fields": [*row["fields"]]})


def row_before_the_first(pack: Pack) -> None:
    pack.proof["rows"].append({**pack.row("line"), "row": 0})


def row_twice(pack: Pack) -> None:
    row = pack.row("line")
    pack.proof["rows"].insert(0, {**row, "fields": ["9", *row["fields"][1:]]})


def row_of_no_tree(pack: Pack) -> None:
    pack.proof["trees"].remove(pack.tree("posting"))


def row_under_another_number(pack: Pack) -> None:
    """All rows of a batch are said to be one further, and the tree to begin one further."""
    tree = pack.tree("line")
    tree["first_row"] += 1
    for row in pack.proof["rows"]:
        if (row["table"], row["batch"]) == ("line", tree["batch"]):
            row["row"] += 1


def row_moved_by_long_hashes(pack: Pack) -> None:
    """The same bytes in hashes of other lengths put a row at another place."""
    tree, row = pack.tree("line"), pack.row("line")
    beside = tree["siblings"][0]
    free = next(int(place) for place in beside)
    beside[str(row["row"] - tree["first_row"])] = beside.pop(str(free)) + "00"
    row["row"] = tree["first_row"] + free


def hash_out_of_the_tree(pack: Pack) -> None:
    pack.tree("line")["siblings"][0]["900"] = "0" * 64


def tree_twice(pack: Pack) -> None:
    pack.proof["trees"].append(pack.tree("line"))


def tree_of_other_length(pack: Pack) -> None:
    pack.tree("line")["row_count"] += 1


def batch_twice(pack: Pack) -> None:
    pack.proof["batches"].append(pack.proof["batches"][-1])


def last_batch_left_out(pack: Pack) -> None:
    pack.proof["batches"].pop()


def no_batch(pack: Pack) -> None:
    pack.proof |= {"batches": [], "trees": [], "rows": []}


def columns_renamed(pack: Pack) -> None:
    columns = pack.proof["columns"]["line"]
    day, sheet = columns.index("day"), columns.index("sheet")
    columns[day], columns[sheet] = columns[sheet], columns[day]


def fields_joined(pack: Pack) -> None:
    """Two columns in one text have the same bytes."""
    fields = pack.row("line")["fields"]
    fields[:2] = ["\x1f".join(fields[:2])]


def salt_moved_into_text(pack: Pack) -> None:
    row = pack.row("line")
    row["fields"][0], row["salt"] = row["salt"][-1] + row["fields"][0], row["salt"][:-1]


def null_written_out(pack: Pack) -> None:
    fields = pack.row("line")["fields"]
    fields[fields.index(None)] = "\x1e"


PROOF_FORGED: list[tuple[Forgery, str]] = [
    (row_made_up, "a row or a hash stands where the tree has none"),
    (row_before_the_first, "a row or a hash stands where the tree has none"),
    (row_twice, "it stands there twice"),
    (row_of_no_tree, "nothing proves it"),
    (row_under_another_number, "first row is not as it was sealed"),
    (row_moved_by_long_hashes, "a hash is not as long as one"),
    (hash_out_of_the_tree, "a row or a hash stands where the tree has none"),
    (tree_twice, "its tree stands there twice"),
    (tree_of_other_length, "number of rows or first row is not as it was sealed"),
    (batch_twice, "it stands there twice"),
    (last_batch_left_out, "the batches do not lead to the record stamp"),
    (no_batch, "the batches do not lead to the record stamp"),
    (columns_renamed, "the columns of line are not those that are sealed"),
    (fields_joined, "it has not the columns of a sealed row"),
    (salt_moved_into_text, "it has not the text or the salt of a sealed row"),
    (null_written_out, "it has not the text or the salt of a sealed row"),
]


# -- files -----------------------------------------------------------------------------------------

ORDER, LETTER, WEEK = "documents/01 ", "attachments/01 ", "sheets/01 "


def document_made_up(pack: Pack) -> None:
    pack.add("documents/02 STAGE-VO-002.html", b"<p>You agree to pay.</p>")


def document_of_another_row(pack: Pack) -> None:
    order = pack.file(ORDER)
    facts = {name: order[name] for name in ("sealed_in", "salt")}
    pack.add("documents/02 STAGE-VO-002.html", b"<p>You agree to pay.</p>", **facts)


def document_twice(pack: Pack) -> None:
    """The document again under another number, with its own digest, salt and row."""
    order = pack.file(ORDER)
    facts = {name: order[name] for name in ("sealed_in", "salt")}
    data = (pack.folder / order["file"]).read_bytes()
    pack.add("documents/02 STAGE-VO-002.html", data, **facts)


def document_changed(pack: Pack) -> None:
    (pack.folder / pack.file(ORDER)["file"]).write_text("<p>Another price</p>")


def document_without_a_row(pack: Pack) -> None:
    del pack.file(ORDER)["sealed_in"]


def document_of_a_row_without_digest(pack: Pack) -> None:
    pack.file(ORDER)["sealed_in"] = "line:1.1"


def document_as_an_attachment(pack: Pack) -> None:
    moved(pack, ORDER, LETTER.replace("01", "02") + "order.html")


def renamed(begins: str, to: str) -> Forgery:
    return lambda pack: moved(pack, begins, to)


def moved(pack: Pack, begins: str, to: str) -> None:
    each = pack.file(begins)
    (pack.folder / each["file"]).rename(pack.folder / to)
    each["file"] = to


def name_redone(pack: Pack) -> None:
    """The attachment has another name in the manifest too."""
    pack.file(LETTER)["name"] = "refusal.txt"
    moved(pack, LETTER, "attachments/01 refusal.txt")


def document_of_another_change(pack: Pack) -> None:
    """A document of Q2 is put in with all that proves it."""
    assert pack.other
    other = Pack(pack.other)
    each, row = other.file(ORDER), other.row("document")
    pack.add(each["file"].replace("01 ", "02 "), (other.folder / each["file"]).read_bytes())
    pack.manifest["files"][-1] |= {"sealed_in": each["sealed_in"], "salt": each["salt"]}
    pack.proof["rows"].append(row)
    pack.proof["trees"].append(other.tree("document"))


def pack_of_another_change(pack: Pack) -> None:
    pack.manifest["change"] = "Q2"


def file_beside_the_folders(pack: Pack) -> None:
    pack.add("refusal.txt", b"The owner refuses.")


def file_of_another_folder(pack: Pack) -> None:
    pack.add("../refusal.txt", b"The owner refuses.")


def entries_left_out(pack: Pack) -> None:
    moved(pack, "entries.csv", "documents/02 entries.csv")


def listed_twice(pack: Pack) -> None:
    pack.manifest["files"].append(pack.file(ORDER))


FILES_FORGED: list[tuple[Forgery, str]] = [
    (document_made_up, "no sealed row of the record has its digest"),
    (document_of_another_row, "its digest is not the one sealed in document:"),
    (document_twice, "another file is in the pack for document:"),
    (document_changed, "its digest is not the one sealed in document:"),
    (document_without_a_row, "no sealed row of the record has its digest"),
    (document_of_a_row_without_digest, "no sealed row of the record has its digest"),
    (document_as_an_attachment, "no sealed row of the record has its digest"),
    (renamed(ORDER, "documents/01 STAGE-VO-007.html"), "its name is not the one sealed"),
    (renamed(LETTER, "attachments/01 refusal.txt"), "its name is not the one sealed"),
    (renamed(WEEK, "sheets/01 week 12.csv"), "its name is not the one sealed"),
    (name_redone, "its name is not the one sealed"),
    (document_of_another_change, "is not of the job and change of the pack"),
    (pack_of_another_change, "is not of the job and change of the pack"),
    (file_beside_the_folders, "refusal.txt: not a file that a pack has"),
    (file_of_another_folder, "../refusal.txt: not a file that a pack has"),
    (entries_left_out, "entries.csv: not listed in manifest.json"),
    (listed_twice, "listed twice in manifest.json"),
]


# -- entries, lines and events ---------------------------------------------------------------------


def hours_raised(rows: list[dict[str, Any]]) -> None:
    rows[0] |= {"hours": "75.0000", "ms": str(75 * 3_600_000)}


def hours_listed_twice(pack: Pack) -> None:
    pack.table("entries.csv", lambda rows: rows.append(rows[0]))


def hours_that_cancel(rows: list[dict[str, Any]]) -> None:
    """Two rows of an entry come to what it has; one of them has far more."""
    ms = int(rows[0]["ms"])
    rows.append(rows[0] | {"hours": "-72.0000", "ms": str(-72 * 3_600_000)})
    more = ms + 72 * 3_600_000
    rows[0] |= {"hours": f"{more / 3_600_000:.4f}", "ms": str(more)}


def column(name: str, head: str, text: str) -> Forgery:
    """Return what puts another column into a CSV file."""
    return lambda pack: pack.table(name, lambda rows: [row.update({head: text}) for row in rows])


def entry_taken_out(pack: Pack) -> None:
    pack.table("entries.csv", lambda rows: rows.pop())


def without_exact_hours(pack: Pack) -> None:
    pack.table("entries.csv", lambda rows: [row.pop("ms") for row in rows])


def corrected_and_as_it_was(pack: Pack) -> None:
    """The reversal is taken out of the proof, so that both entries of one line seem to stand."""
    reversal = next(
        row for row in pack.proof["rows"] if row["table"] == "entry" and row["fields"][-1]
    )
    pack.proof["rows"].remove(reversal)
    fold_again(pack, reversal)
    batch, row = reversal["fields"][-2:]
    line = next(r for r in pack.proof["rows"] if (r["table"], str(r["row"])) == ("line", row))
    ms = line["fields"][pack.proof["columns"]["line"].index("ms")]
    whole = {"entry": f"{batch}.{row}", "ms": ms, "hours": f"{int(ms) / 3_600_000:.4f}"}
    pack.table("entries.csv", lambda rows: rows.append(rows[-1] | whole))


def fold_again(pack: Pack, row: dict[str, Any]) -> None:
    """Put the leaf of a row that was taken out among the hashes beside the others."""
    for tree in pack.proof["trees"]:
        if (tree["table"], tree["batch"]) == (row["table"], row["batch"]):
            tree["siblings"][0][str(row["row"] - tree["first_row"])] = leaf(row).hex()


def checks_switched_off(pack: Pack) -> None:
    pack.manifest["with_sealed_entries"] = False
    pack.table("entries.csv", hours_raised)


def sheet_line_taken_out(pack: Pack) -> None:
    pack.table("sheet_lines.csv", lambda rows: rows.pop())


def event_left_out(pack: Pack) -> None:
    pack.table("events.csv", lambda rows: rows.pop())


def event_made_up(pack: Pack) -> None:
    pack.table("events.csv", lambda rows: rows.append(rows[-1] | {"sealed_in": "change_event:1.1"}))


ENTRIES = "entries.csv"
TABLES_FORGED: list[tuple[Forgery, str]] = [
    (cell(ENTRIES, "day", "2026-03-19"), "day 2026-03-19, 2026-03-17 in the sealed row"),
    (cell(ENTRIES, "worker", "999"), "worker 999, "),
    (cell(ENTRIES, "sheet", "another"), "sheet another, none in the sealed row"),
    (cell(ENTRIES, "line", "9"), "line 9, "),
    (cell(ENTRIES, "code", "RAIL"), "code RAIL, Q1 in the sealed row"),
    (cell(ENTRIES, "hours", "75.0000"), "75.0000 h are not "),
    (cell(ENTRIES, "ms", "7.5"), "7.5 is not a whole number"),
    (cell(ENTRIES, "rework", "setting_out"), " ms in the sealed rows"),
    (cell(ENTRIES, "entry", "1.1"), "entry 1.1: no sealed row has it"),
    (lambda pack: pack.table(ENTRIES, hours_raised), "270000000 ms, "),
    (lambda pack: pack.table(ENTRIES, hours_that_cancel), "-259200000 ms and "),
    (column("events.csv", "note", "You were told."), "it has the column note"),
    (column("sheet_lines.csv", "note", "You signed."), "its columns are not those"),
    (hours_listed_twice, " ms in the sealed rows"),
    (entry_taken_out, ": 0 ms, "),
    (without_exact_hours, "entries.csv: it has no column entry or ms"),
    (corrected_and_as_it_was, "its sheet line "),
    (checks_switched_off, "270000000 ms, "),
    (cell("sheet_lines.csv", "line", "9"), "its line is not the sealed one"),
    (cell("sheet_lines.csv", "sheet_line", "1.1"), "1.1: no sealed row is left for it"),
    (sheet_line_taken_out, "missing"),
    (cell("events.csv", "day", "2026-03-01", -1), "day is not 2026-03-16, as in the sealed row"),
    (cell("events.csv", "event", "declined", -1), "event is not approved, as in the sealed row"),
    (cell("events.csv", "days_granted", "9", -1), "days_granted is not empty"),
    (event_left_out, "missing"),
    (event_made_up, "no sealed row is left for it"),
]
