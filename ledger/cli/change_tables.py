"""The changes of a job, and one of them, as tables for people and as CSV."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from ledger.cli.output import as_csv, give, say
from ledger.cli.refusals.worded import worded
from ledger.cli.tables import as_table, table_width, title_of
from ledger.cli.wording.completeness import reason
from ledger.domain.allocation import hours_of
from ledger.domain.counting import counted, grouped, hours_text

CHARGE_TITLES = {
    "original_sum": "contract sum",
    "approved": "approved variations",
    "omissions": "omissions",
    "daywork_movement": "daywork against its estimate",
    "daywork_unsigned": "daywork unsigned",
    "time_beyond_estimate": "time beyond the estimate",
    "instructed_at_latest_price": "instructed, at the latest price",
    "anticipated_final_sum": "anticipated final sum",
}

if TYPE_CHECKING:
    from ledger.changes.daywork import ItemLine
    from ledger.changes.daywork_shown import DayworkNow, DayworkShown, SheetShown
    from ledger.changes.in_charge import InCharge
    from ledger.commands.changes import ChangeShown, ChangesKnown, ChargeKnown
    from ledger.domain.pricing import YardPriceLine
    from ledger.domain.quoting import Margin
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
    "hours_agreed": "agreed h",
    "hours_unsigned": "unsigned h",
}
HOURS = ("hours_priced", "hours_booked", "hours_anticipated")
# Columns of words, shown without underscores.
WORDS = ("basis", "origin", "price_state", "instruction", "work", "attention")
SHEET = ("sheet", "from", "to", "agreed_on", "mark", "person", "hours", "struck off h", "id")
ITEM = (
    *("item", "day", "kind", "description", "quantity", "unit", "unit cost", "amount"),
    *("agreed", "reference", "id"),
)
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


def charge_table(known: "ChargeKnown", format: str) -> None:
    """Give the steps from the contract sum to the anticipated final sum, each by change."""
    charge = known.in_charge
    if format == "csv":
        rows = [(step, "", amount) for step, amount in charge.steps.items()]
        rows += [(step, code, part) for step in charge.steps for code, part in _moved(charge, step)]
        give(as_csv(("step", "change", "amount"), rows))
        return
    give(f"{charge.job} on {charge.day}: why the sum changed, {charge.currency}".rstrip(" ,"))
    lines = []
    for step, amount in charge.steps.items():
        if step == "time_beyond_estimate" and not amount:  # Of a job paid by the hour alone.
            continue
        lines.append((CHARGE_TITLES[step], "", amount))
        lines += [("", code, part) for code, part in _moved(charge, step)]
    give(as_table(("step", "change", "amount"), lines))
    adjusted, submitted = grouped(charge.sums.adjusted), grouped(charge.sums.submitted)
    give(f"adjusted sum {adjusted}; submitted, not added {submitted}")


def _moved(charge: "InCharge", step: str) -> list[tuple[str, Decimal]]:
    """Return the changes of a step, and the provisional sums that were not spent."""
    unspent = [(f"{name}, not spent", part) for name, part in charge.unspent_of(step)]
    return [*charge.of(step), *unspent]


def changes_table(known: "ChangesKnown", format: str) -> None:
    """Give the changes, what needs attention and what the job's sum comes to."""
    listed = known.listed
    rows = [_row(each, known.margins[each.standing.change.code]) for each in listed.changes]
    if format == "csv":
        head = tuple(rows[0]) if rows else NARROW
        give(as_csv(head, [[row[name] for name in head] for row in rows]))
        return
    say(f"{listed.job} on {listed.status_date}, {listed.currency}".rstrip(" ,"))
    narrow = table_width() is not None
    if rows:
        head = NARROW if narrow else _without_daywork(rows)
        cells = [[_worded(name, row[name]) for name in head] for row in rows]
        give(as_table([SHORT.get(name, name) for name in head], cells))
    else:
        give("no changes requested")
    for each in listed.changes if narrow else ():
        if each.daywork and each.daywork.value:
            give(f"{each.standing.change.code}: {_daywork_words(each.daywork)}")
    if narrow and listed.worst_first:
        give("")
        worst = [
            [e.standing.change.code, "; ".join(attention_words(e))] for e in listed.worst_first
        ]
        give(as_table(("to look into", "what, worst first"), worst, _grave(listed.worst_first)))
    _give_sums(known)


def _without_daywork(rows: list[dict[str, Any]]) -> tuple[str, ...]:
    """Return the columns, those of daywork only where there is any."""
    from ledger.commands.changes_as_json import DAYWORK

    has_any = any(row[name] is not None for row in rows for name in DAYWORK)
    return tuple(name for name in rows[0] if has_any or name not in DAYWORK)


def _daywork_words(now: "DayworkNow") -> str:
    agreed = f"daywork agreed {hours_text(now.agreed_ms)} h"
    agreed += f" ({grouped(now.agreed)})" if now.agreed is not None else ""
    if now.unsigned_ms is None:
        return f"{agreed}; its value is agreed"
    beyond = f" ({grouped(now.unsigned)} beyond agreed and estimate)" if now.unsigned else ""
    return f"{agreed}, unsigned {hours_text(now.unsigned_ms)} h{beyond}"


def _row(listed: "ListedChange", margin: "Margin | None") -> dict[str, Any]:
    from ledger.commands.changes_as_json import DAYWORK, change_json, margin_json

    row = {**change_json(listed), **margin_json(margin)}
    amounts = (*HOURS, "exposure_hours", "price", "exposure_value", "margin", *DAYWORK)
    row |= {name: _two(row[name]) for name in amounts}
    due = "; ".join(f"{kind} {day}" for kind, day in row["due"].items())
    return {**row, "attention": " ".join(row["attention"]), "due": due}


def attention_words(listed: "ListedChange") -> list[str]:
    """Return what of a change needs attention in words, with the day by which."""
    words = [
        f"{title_of(each.kind)} {each.due}" if each.due else title_of(each.kind)
        for each in listed.attention
    ]
    if listed.exposure.ms:
        words.append(f"exposure {hours_text(listed.exposure.ms)} h")
    return words


def _grave(listed: "list[ListedChange]") -> list[tuple[int, int]]:
    """Return the cells of changes of which something is over, missed or not ordered."""
    return [(n, 1) for n, each in enumerate(listed) if any(a.is_grave for a in each.attention)]


def _two(amount: Decimal | None) -> Decimal | None:
    return None if amount is None else amount.quantize(Decimal("0.01"))


def _worded(name: str, cell: object) -> object:
    return title_of(cell) if isinstance(cell, str) and name in WORDS else cell


def _give_sums(known: "ChangesKnown") -> None:
    from ledger.commands.changes_as_json import sums_named

    listed = known.listed
    sums = sums_named(listed.original_sum, listed.sums)
    rows: list[list[object]] = [[title_of(name), amount] for name, amount in sums.items()]
    rows.append(["worked without a price or signature", listed.exposure.value])
    give("")
    give(as_table([f"sum, {listed.currency}".rstrip(" ,"), "amount"], rows))
    if listed.provisional_sums:
        give("")
        head = ("provisional sum", "amount", "omitted", "left")
        give(
            as_table(head, [[e.name, e.amount, e.omitted, e.left] for e in listed.provisional_sums])
        )
    if known.no_margin:
        say(f"margin: not defined: {reason(known.no_margin)}")
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


def change_table(known: "ChangeShown") -> None:
    """Give one change: where it stands, its life, prices, time by week and attachments."""
    listed = known.change
    standing = listed.standing
    facts = standing.change.facts
    give(f"{standing.change.code}, {facts['title']} ({known.job} on {known.status_date})")
    give("; ".join(_standing(known)))
    if facts["description"]:
        give(facts["description"])
    if listed.attention:
        give(f"to look into: {'; '.join(attention_words(listed))}")
    _section("life", ("day", "event", "revision", "person", "what"), list(_life(known)))
    _prices(known)
    weeks: list[list[object]] = [[week, trade, hours_of(ms)] for week, trade, ms in known.weeks]
    if known.daywork:
        daywork_tables(known.daywork)
    _section("time booked by week", ("week_starting", "trade", "hours"), weeks)
    files: list[list[object]] = [
        [e["id"], e["event"] or "requested", e["day"], e["name"]] for e in known.attachments
    ]
    _section("attached", ("id", "event", "day", "name"), files)


def _standing(known: "ChangeShown") -> Iterator[str]:
    listed, standing = known.change, known.change.standing
    yield f"{title_of(standing.basis)}, origin {title_of(standing.change.facts['origin'])}"
    yield f"price {title_of(standing.price_state)}"
    if listed.amount is not None:
        yield f"{known.currency} {grouped(listed.amount)}".strip()
    yield f"instruction {title_of(listed.instruction)}"
    yield title_of(listed.work)
    booked, final = hours_text(listed.booked_ms), hours_text(listed.anticipated_ms)
    yield f"{booked} h booked, {final} h anticipated"
    if standing.hours_ms is not None:
        yield f"{hours_text(standing.hours_ms)} h priced"
    if known.margin:
        percent = known.margin.percent_of_price
        of_price = "" if percent is None else f" ({percent} % of price)"
        yield f"margin {known.currency} {grouped(known.margin.amount)}{of_price}"


def _life(known: "ChangeShown") -> Iterator[list[object]]:
    from ledger.commands.changes_as_json import life_of

    for row in life_of(known):
        texts = [
            words.format(row[name]) for name, words in CARRIED.items() if row[name] is not None
        ]
        texts += [words for name, words in MARKED.items() if row[name]]
        texts += (
            [f"{hours_text(row['agreed_ms'])} h agreed"] if row["agreed_ms"] is not None else []
        )
        yield [row["day"], title_of(row["event"]), row["revision"], row["person"], "; ".join(texts)]


def _prices(known: "ChangeShown") -> None:
    for each in known.revisions:
        amount = "" if each.net is None else f", {known.currency} {grouped(each.net)}"
        title = f"price, revision {each.number}: {title_of(each.state)}{amount}"
        if each.lines:
            give(f"\n{title}")
            lines_table(each.lines)
        for text in each.owner_texts:
            give(f"for the owner: {text}")
        if each.unpriced:
            give(f"\n{title}\n{worded(each.unpriced)}")


def lines_table(lines: "Sequence[YardPriceLine]") -> None:
    """Give the lines of a price, which add to it."""
    rows: list[list[object]] = [
        [
            title_of(line.price_kind),
            described(line),
            line.trade or None,
            _quantity(line),
            line.unit or ("h" if line.hours_ms is not None else None),
            line.amount,
        ]
        for line in lines
    ]
    give(as_table(("kind", "description", "trade", "quantity", "unit", "amount"), rows))


def described(line: "YardPriceLine") -> str:
    """Return what a line of a price is, with the percentage in it and what it is on."""
    addition = line.addition
    if line.price_kind == "provisional_sum":
        omitted = f'of the provisional sum "{line.description}", omitted'
        rest = f"; {grouped(line.beyond_sum)} more than was left of it is an addition"
        return omitted + (rest if line.beyond_sum else "")
    if addition is None:
        return line.description
    percent = f"{addition.percent.normalize():f} %"
    added = f"margin {percent} of price" if addition.on == "price" else f"mark-up {percent} on cost"
    if line.price_kind != "addition":
        return f"{line.description}, with {added}"
    of = " and ".join(filter(None, [", ".join(addition.of[:-1]), *addition.of[-1:]]))
    kinds = f" of {of}" if of else ""
    compound = ", compound" if addition.method == "compound" else ""
    return f"{line.description}: {added}{kinds} {line.base}{compound}"


def _quantity(line: "YardPriceLine") -> Decimal | None:
    if line.hours_ms is not None:
        return hours_of(line.hours_ms)
    return None if line.quantity is None else _plain(line.quantity)


def daywork_tables(daywork: "DayworkShown") -> None:
    """Give the daywork of a change: its hours, its sheets, what they agree in part, its items."""
    now = daywork.now
    summary = _daywork_words(now)
    if now.witnessed_ms:
        summary += f", of which recorded and not agreed {hours_text(now.witnessed_ms)} h"
    if now.value and now.value.above_cap:
        summary += f"; {grouped(now.value.above_cap)} is above the cap and does not count"
    give(f"\n{summary}")
    _section("daywork sheets", SHEET, [_sheet_row(each) for each in daywork.sheets])
    struck: list[list[object]] = [
        [row["daywork_sheet"], named, agreed, row["reason"], row["id"]]
        for each in daywork.sheets
        for row in each.rows
        for named, agreed in _details(row)
    ]
    _section("agreed in part", ("sheet", "of", "agreed", "reason", "id"), struck)
    items = [_item_row(named, line) for named, line in daywork.items]
    _section("daywork items", ITEM, items)


def _sheet_row(sheet: "SheetShown") -> list[object]:
    first, total = sheet.rows[0], sheet.total
    days = [first[name] for name in ("daywork_sheet", "day_from", "day_to", "agreed_on")]
    hours = [hours_of(total.counted_ms), hours_of(total.struck_ms)]
    return [*days, title_of(first["mark"]), first["person"], *hours, first["id"]]


def _details(row: dict[str, Any]) -> Iterator[tuple[str, str]]:
    if row["worker_id"]:
        yield f"{row['worker_id']} on {row['day']}", f"{hours_text(row['agreed_ms'])} h"
    elif row["item"]:
        yield f"item {row['item']}", f"{row['agreed_quantity'].normalize():f}"


def _item_row(named: str, line: "ItemLine") -> list[object]:
    record, agreed = line.record, line.agreed.quantity or Decimal(0)
    return [
        record["number"],
        record["day"],
        title_of(record["cost_kind"]),
        record["description"],
        _plain(record["quantity"]),
        record["unit"],
        _plain(record["unit_cost"]),
        line.whole.amount,
        _plain(agreed),
        record["reference"],
        named,
    ]


def _plain(number: Decimal) -> Decimal:
    return Decimal(f"{number.normalize():f}")


def _section(title: str, head: tuple[str, ...], rows: list[list[object]]) -> None:
    if rows or title == "life":
        give(f"\n{title}")
        give(as_table(head, rows))
