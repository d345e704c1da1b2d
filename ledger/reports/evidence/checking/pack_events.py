"""What happened, as a pack has it: whether each event is as its sealed row has it."""

from collections.abc import Iterator

from ledger.reports.evidence.checking.pack_reading import CsvFile, Json
from ledger.reports.evidence.checking.pack_seals import Columns, Sealed, name_of

EVENTS = "events.csv"
# The columns that sealed rows prove, each by its name there.
OF_EVENT = {
    "event": "event",
    "day": "day",
    "revision": "revision",
    "days_asked": "days_requested",
    "days_granted": "days_granted",
    "aware_on": "aware_on",
    "received_on": "received_on",
}
UNPROVEN = ("person", "reference")
OF_REQUEST = {**OF_EVENT, "day": "requested_on"}


def broken_events(events: CsvFile, sealed: Sealed, manifest: Json) -> Iterator[str]:
    """Yield each event that is not as it was sealed, and each sealed one that is not listed."""
    rows = {name_of(place): (place[0], row) for place, row in sealed.items()}
    if not any(table == "change" for table, _ in rows.values()):
        yield f"{EVENTS}: no sealed row has the request of the change"
    if strange := set(events[0]) - {*OF_EVENT, *UNPROVEN, "sealed_in"}:
        yield f"{EVENTS}: it has the column {sorted(strange)[0]}, which a pack has not"
    left = {name for name, (table, _) in rows.items() if table in ("change", "change_event")}
    for event in events[1]:
        name = event.get("sealed_in", "")
        if name not in left:
            yield f"{EVENTS}: {name}: no sealed row is left for it"
            continue
        left.remove(name)
        table, row = rows[name]
        if [row["job"], row["change"]] != [manifest["job"], manifest["change"]]:
            yield f"{EVENTS}: {name} is not of the job and change of the pack"
        expected = event_of(row) if table == "change_event" else request_of(row)
        for column, text in expected.items():
            if event.get(column) != text:
                yield f"{EVENTS}: {name}: {column} is not {text or 'empty'}, as in the sealed row"
    yield from (f"{EVENTS}: {name}: missing" for name in sorted(left))


def event_of(row: Columns) -> dict[str, str]:
    """Return the columns of an event as its sealed row has them."""
    return {name: row[column] or "" for name, column in OF_EVENT.items()}


def request_of(row: Columns) -> dict[str, str]:
    """Return the columns of a request as its sealed row has them."""
    columns = {name: row.get(column) or "" for name, column in OF_REQUEST.items()}
    return {**columns, "event": "requested"}
