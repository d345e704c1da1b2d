"""The changes of a job, and one of them, as tables for people and as CSV."""

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from ledger.cli.output import as_csv, give, say
from ledger.cli.refusals.worded import worded
from ledger.cli.tables import as_table, table_width, title_of
from ledger.cli.wording.counting import counted
from ledger.domain.allocation import hours_of

if TYPE_CHECKING:
    from ledger.commands.changes import ChangeShown, ChangesKnown
    from ledger.domain.pricing import PriceLine
    from ledger.performance.change_list import ListedChange

# What fits a terminal of 80 columns; what needs attention stands below the table then.
NARROW = ("change", "title", "price_state", "price", "hours_booked", "hours_anticipated")
SHORT = {
    "price_state": "state",
    "hours_priced": "priced h",
    "hours_booked": "booked h",
    "hours_anticipated": "final h",
    "days_requested": "days asked",
    "decision_needed_by": "decision by",
}
HOURS = ("hours_priced", "hours_booked", "hours_anticipated")
# Columns of words, shown without underscores.
WORDS = ("basis", "origin", "price_state", "instruction", "work", "attention")
MARKED = {"rough": "rough", "not_to_exceed": "not to exceed"}
# What an event carries, each after its own words.
CARRIED = {
    "reference": "{}",
    "valid_until": "valid until {}",
    "condition": "condition: {}",
    "days_requested": "days requested {}",
    "days_granted": "days granted {}",
    "agreed_value": "value agreed {:.2f}",
    "aware_on": "aware on {}",
    "received_on": "received on {}",
    "document": "document {}",
    "note": "note: {}",
}


def changes_table(known: "ChangesKnown", format: str) -> None:
    """Give the changes, what needs attention and what the job's sum comes to."""
    listed = known.listed
    rows = [_row(each) for each in listed.changes]
    if format == "csv":
        head = tuple(rows[0]) if rows else NARROW
        give(as_csv(head, [[row[name] for name in head] for row in rows]))
        return
    say(f"{listed.job} on {listed.status_date}, {listed.currency}".rstrip(" ,"))
    narrow = table_width() is not None
    if rows:
        head = NARROW if narrow else tuple(rows[0])
        shown = [[_shown(name, row[name]) for name in head] for row in rows]
        give(as_table([SHORT.get(name, name) for name in head], shown))
    else:
        give("no changes requested")
    if narrow and listed.worst_first:
        give("")
        worst = [
            [e.standing.change.code, "; ".join(attention_words(e))] for e in listed.worst_first
        ]
        give(as_table(("to look into", "what, worst first"), worst, _grave(listed.worst_first)))
    _give_sums(known)


def _row(listed: "ListedChange") -> dict[str, Any]:
    from ledger.commands.changes_as_json import change_json

    row = change_json(listed)
    row |= {name: _two(row[name]) for name in (*HOURS, "exposure_hours", "price", "exposure")}
    due = "; ".join(f"{kind} {day}" for kind, day in row["due"].items())
    return {**row, "attention": " ".join(row["attention"]), "due": due}


def attention_words(listed: "ListedChange") -> list[str]:
    """Return what of a change needs attention in words, with the day by which."""
    said = [
        f"{title_of(each.kind)} {each.due}" if each.due else title_of(each.kind)
        for each in listed.attention
    ]
    if listed.exposure.ms:
        said.append(f"{hours_of(listed.exposure.ms)} h at the yard's risk")
    return said


def _grave(listed: "list[ListedChange]") -> list[tuple[int, int]]:
    """Return the cells of changes of which something is over, missed or not ordered."""
    return [(n, 1) for n, each in enumerate(listed) if any(a.is_grave for a in each.attention)]


def _two(amount: Decimal | None) -> Decimal | None:
    return None if amount is None else amount.quantize(Decimal("0.01"))


def _shown(name: str, cell: object) -> object:
    return title_of(cell) if isinstance(cell, str) and name in WORDS else cell


def _give_sums(known: "ChangesKnown") -> None:
    from ledger.commands.changes_as_json import sums_named

    listed = known.listed
    sums = sums_named(listed.original_sum, listed.sums)
    rows: list[list[object]] = [[title_of(name), amount] for name, amount in sums.items()]
    rows.append(["worked without a price or signature", listed.exposure.value])
    give("")
    give(as_table([f"sum, {listed.currency}".rstrip(" ,"), "amount"], rows))
    for name, why in listed.undefined.items():
        if name != "completion_date":
            say(f"{title_of(name)}: not defined: {why}")
    why = listed.undefined.get("completion_date", "")
    completion = listed.completion
    if completion.moved_to is None:
        give(f"completion date: - ({why})")
    else:
        days = counted(completion.days_granted, "day", "days")
        contract = f"{completion.agreed} by contract"
        give(f"completion date: {contract}, {completion.moved_to} with {days} granted")


def change_table(shown: "ChangeShown") -> None:
    """Give one change: where it stands, its life, prices, time by week and attachments."""
    listed = shown.change
    standing = listed.standing
    facts = standing.change.facts
    give(f"{standing.change.code}, {facts['title']} ({shown.job} on {shown.status_date})")
    give("; ".join(_standing(shown)))
    if facts["description"]:
        give(facts["description"])
    if listed.attention:
        give(f"to look into: {'; '.join(attention_words(listed))}")
    _section("life", ("day", "event", "revision", "person", "what"), list(_life(shown)))
    _prices(shown)
    weeks: list[list[object]] = [[week, trade, hours_of(ms)] for week, trade, ms in shown.weeks]
    _section("time booked by week", ("week_starting", "trade", "hours"), weeks)
    files: list[list[object]] = [
        [e["id"], e["event"] or "requested", e["day"], e["name"]] for e in shown.attachments
    ]
    _section("attached", ("id", "event", "day", "name"), files)


def _standing(shown: "ChangeShown") -> Iterator[str]:
    listed, standing = shown.change, shown.change.standing
    yield f"{title_of(standing.basis)}, origin {title_of(standing.change.facts['origin'])}"
    yield f"price {title_of(standing.price_state)}"
    if listed.amount is not None:
        yield f"{shown.currency} {listed.amount}".strip()
    yield f"instruction {title_of(listed.instruction)}"
    yield title_of(listed.work)
    booked, final = hours_of(listed.booked_ms), hours_of(listed.anticipated_ms)
    yield f"{booked} h booked, {final} h anticipated"
    if standing.hours_ms is not None:
        yield f"{hours_of(standing.hours_ms)} h priced"


def _life(shown: "ChangeShown") -> Iterator[list[object]]:
    from ledger.commands.changes_as_json import life_of

    for row in life_of(shown):
        said = [words.format(row[name]) for name, words in CARRIED.items() if row[name] is not None]
        said += [words for name, words in MARKED.items() if row[name]]
        said += [f"{hours_of(row['agreed_ms'])} h agreed"] if row["agreed_ms"] is not None else []
        yield [row["day"], title_of(row["event"]), row["revision"], row["person"], "; ".join(said)]


def _prices(shown: "ChangeShown") -> None:
    for each in shown.revisions:
        amount = "" if each.net is None else f", {shown.currency} {each.net}"
        rows: list[list[object]] = [
            [
                title_of(line.price_kind),
                line.description,
                line.trade or None,
                _quantity(line),
                line.unit or ("h" if line.hours_ms is not None else None),
                line.amount,
            ]
            for line in each.lines
        ]
        head = ("kind", "description", "trade", "quantity", "unit", "amount")
        title = f"price, revision {each.number}: {title_of(each.state)}{amount}"
        _section(title, head, rows)
        if each.unpriced:
            give(f"\n{title}\n{worded(each.unpriced)}")


def _quantity(line: "PriceLine") -> Decimal | None:
    if line.hours_ms is not None:
        return hours_of(line.hours_ms)
    return None if line.quantity is None else Decimal(f"{line.quantity.normalize():f}")


def _section(title: str, head: tuple[str, ...], rows: list[list[object]]) -> None:
    if rows or title == "life":
        give(f"\n{title}")
        give(as_table(head, rows))
