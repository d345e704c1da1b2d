"""The fact tables: their columns, what identifies a row, and which rows stand or fall together."""

from dataclasses import dataclass
from functools import cached_property

VERSION = 1
# The oldest schema that `MIGRATIONS` leads on from; a book of an earlier one is refused.
OLDEST = 1
SEAL_VERSION = 2
# A digest by which content is found is erased with it, and then read as null: it finds nothing.
PLAIN_DIGEST = "sha256"
# What of a batch's own record can be erased; its head keeps the digests.
ERASABLE_OF_BATCH = ("actor", "command")


@dataclass(frozen=True)
class Table:
    """One fact table.

    `key` names the columns of which the newest row counts; `whole` those whose newest batch counts
    as a whole. A table with neither is a ledger: all its rows count. `erasable` names the columns
    that a person types freely: each stands beside its salt, and its salted digest is sealed.
    `persons` names those that hold the handle of a person, whose name stands in `person_name`.
    `is_viewed` says that lines of sheets are read as rows of it too: its own are numbered on after
    the batch's lines, where `follows_lines` says so, so that a number names one of them.
    """

    name: str
    text: str
    key: tuple[str, ...] = ()
    whole: tuple[str, ...] = ()
    erasable: tuple[str, ...] = ()
    persons: tuple[str, ...] = ()
    is_viewed: bool = False
    follows_lines: bool = False

    @cached_property
    def columns(self) -> dict[str, str]:
        """Return the type of each column of its own, in order."""
        pairs = (part.split(maxsplit=1) for part in self.text.split(";") if part.strip())
        return {name: kind.strip() for name, kind in pairs}

    @cached_property
    def stored(self) -> dict[str, str]:
        """Return the type of each column as it is kept, salts and digests of texts included."""
        beside = {
            name: kind
            for column in self.erasable
            for name, kind in ((f"{column}_salt", "BLOB"), (f"{column}_hash", "VARCHAR"))
        }
        return {"batch": "BIGINT", "row": "BIGINT", **self.columns, **beside}

    @cached_property
    def sealed(self) -> tuple[str, ...]:
        """Return the columns of the row text in their order; of an erasable text, its digest."""
        return tuple(f"{name}_hash" if name in self.erasable else name for name in self.columns)

    @cached_property
    def texts(self) -> tuple[str, ...]:
        """Return the columns that hold text."""
        return tuple(name for name, kind in self.columns.items() if kind == "VARCHAR")

    @property
    def stored_macro(self) -> str:
        """Return the macro that gives the rows as they are kept."""
        is_apart = self.erasable or self.persons or self.is_viewed
        return f"{'stored' if is_apart else 'known'}_{self.name}"

    @property
    def withdrawable(self) -> bool:
        """Whether a row that was typed or loaded can be withdrawn."""
        return self.name in WITHDRAWABLE


def _tables(*tables: Table) -> dict[str, Table]:
    return {table.name: table for table in tables}


_MONEY = "DECIMAL(38,4)"
_QUANTITY = "DECIMAL(38,6)"
_SHARE = "DECIMAL(18,9)"

TABLES = _tables(
    Table(
        "file",
        "name VARCHAR; sha256 VARCHAR; kind VARCHAR; layout VARCHAR; encoding VARCHAR;"
        "default_job VARCHAR; lines_read BIGINT; booked BIGINT; held BIGINT;"
        "already_booked BIGINT; already_held BIGINT; left_out BIGINT",
        erasable=("name", "sha256"),
    ),
    Table(
        "content",
        "sha256 VARCHAR; media_type VARCHAR; byte_count BIGINT; packing VARCHAR; data BLOB",
        key=("sha256",),
        erasable=("sha256", "data"),
    ),
    Table("setting", "name VARCHAR; value VARCHAR", key=("name",), erasable=("value",)),
    # Before the tables whose `persons` are read with it.
    Table("person_name", "handle VARCHAR; name VARCHAR", key=("handle",), erasable=("name",)),
    Table(
        "file_part",
        "file_row BIGINT; part BIGINT; first_line BIGINT; sha256 VARCHAR",
        erasable=("sha256",),
    ),
    Table(
        "line",
        "file_row BIGINT; line BIGINT; place BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE;"
        "ms BIGINT; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; what BIGINT;"
        "note BIGINT",
    ),
    Table(
        "what",
        "number BIGINT; held VARCHAR; booking_code VARCHAR; job_given VARCHAR; pay_class VARCHAR;"
        "trade VARCHAR; rework VARCHAR; approved_by VARCHAR; job VARCHAR; booked_to VARCHAR;"
        "cause VARCHAR; booked_rework VARCHAR; reason VARCHAR; rule VARCHAR",
        persons=("approved_by",),
    ),
    Table("note", "note VARCHAR", erasable=("note",)),
    Table(
        "held_text",
        "line_row BIGINT; reason VARCHAR; raw VARCHAR; message VARCHAR",
        erasable=("raw", "message"),
    ),
    Table(
        "line_outcome",
        "line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR",
        erasable=("message",),
        is_viewed=True,
    ),
    Table(
        "entry",
        "line_batch BIGINT; line_row BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE;"
        "ms BIGINT; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT;"
        "booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR;"
        "trade VARCHAR; rework VARCHAR; approved_by VARCHAR;"
        "reverses_batch BIGINT; reverses_row BIGINT",
        erasable=("note",),
        persons=("approved_by",),
        is_viewed=True,
        follows_lines=True,
    ),
    Table(
        "posting",
        "entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR;"
        "pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR;"
        "ms BIGINT; reason VARCHAR; rule VARCHAR",
        is_viewed=True,
        follows_lines=True,
    ),
    Table(
        "closing",
        "closed_to DATE; sequence BIGINT; reason VARCHAR",
        key=("closed_to",),
        erasable=("reason",),
    ),
    Table(
        "withdrawal",
        "table_name VARCHAR; fact_batch BIGINT; fact_row BIGINT; place_batch BIGINT;"
        "place_row BIGINT; reason VARCHAR",
        erasable=("reason",),
    ),
    Table(
        "erasure",
        "table_name VARCHAR; fact_batch BIGINT; fact_row BIGINT; reason VARCHAR",
        erasable=("reason",),
    ),
    Table(
        "reversal",
        "entry_batch BIGINT; entry_row BIGINT; scope VARCHAR; reason VARCHAR",
        erasable=("reason",),
    ),
    Table(
        "line_correction",
        "line_batch BIGINT; line_row BIGINT; field VARCHAR; was VARCHAR; now VARCHAR",
        erasable=("was", "now"),
    ),
    Table(
        "reissued_line",
        "file_batch BIGINT; file_row BIGINT; line BIGINT; sheet VARCHAR; worker_id VARCHAR;"
        "day DATE; line_batch BIGINT; line_row BIGINT",
    ),
    Table(
        "reissue_end",
        "reissue_batch BIGINT; reissue_row BIGINT; ended VARCHAR; reason VARCHAR",
        erasable=("reason",),
    ),
    Table(
        "doubt_settled",
        "kind VARCHAR; about VARCHAR; settled BOOLEAN; reason VARCHAR",
        key=("kind", "about"),
        erasable=("reason",),
    ),
    Table(
        "attendance",
        "worker_id VARCHAR; day DATE; clock_in VARCHAR; clock_out VARCHAR; break_minutes BIGINT;"
        "ms BIGINT",
        whole=("worker_id", "day"),
    ),
    Table(
        "rule",
        "rule VARCHAR; position BIGINT; priority BIGINT; booked_to VARCHAR; cause VARCHAR;"
        "booking_code VARCHAR; note_contains VARCHAR; note_matches VARCHAR; worker_id VARCHAR;"
        f"trade VARCHAR; job VARCHAR; day_from DATE; day_to DATE; share {_SHARE};"
        "share_by VARCHAR; rework VARCHAR; reason VARCHAR",
        whole=("rule",),
        erasable=("note_contains", "note_matches", "reason"),
    ),
    # What shared entries were split by: what the crew had booked in a week, whenever it differed.
    Table("crew_hours", "week DATE; job VARCHAR; booked_to VARCHAR; ms BIGINT", whole=("week",)),
    Table("late_adjustment", "entries BIGINT; reason VARCHAR", erasable=("reason",)),
    Table(
        "hand_tag",
        "line_batch BIGINT; line_row BIGINT; job VARCHAR; booked_to VARCHAR; cause VARCHAR;"
        "rework VARCHAR; reason VARCHAR",
        key=("line_batch", "line_row"),
        erasable=("reason",),
    ),
    Table("worker_name", "worker_id VARCHAR; name VARCHAR", key=("worker_id",), erasable=("name",)),
    # A name as sheets have it, which a person confirmed to be a worker's.
    Table(
        "worker_alias",
        "alias VARCHAR; worker_id VARCHAR; reason VARCHAR",
        key=("alias", "worker_id"),
        erasable=("alias", "reason"),
    ),
    Table(
        "crew",
        "worker_id VARCHAR; active_from DATE; active_to DATE; trade VARCHAR; grade VARCHAR;"
        "employment VARCHAR; supplier VARCHAR",
        key=("worker_id", "active_from"),
    ),
    Table(
        "rate",
        "trade VARCHAR; grade VARCHAR; worker_id VARCHAR; effective_from DATE;cost_per_hour BIGINT",
        key=("trade", "grade", "worker_id", "effective_from"),
    ),
    Table(
        "charge_rate",
        "job VARCHAR; trade VARCHAR; grade VARCHAR; effective_from DATE; charge_per_hour BIGINT",
        key=("job", "trade", "grade", "effective_from"),
    ),
    Table(
        "job",
        f"job VARCHAR; title VARCHAR; owner VARCHAR; contract_sum {_MONEY}; contract_date DATE;"
        "planned_start DATE; planned_finish DATE; contract_basis VARCHAR; working_week VARCHAR;"
        "days_off VARCHAR; management_reserve_ms BIGINT; owner_sees_overrun BOOLEAN;"
        "key_dates VARCHAR; completion_date DATE; days VARCHAR; silence_confirms_days BIGINT;"
        "authority VARCHAR; daywork VARCHAR; provisional_sums VARCHAR;"
        "omissions_carry_additions BOOLEAN; notice_limits VARCHAR; certificate VARCHAR;"
        "omissions_credited VARCHAR; delivered_on DATE; defects_end_on DATE;"
        "stage_payments VARCHAR; retention VARCHAR; advance VARCHAR",
        key=("job",),
        erasable=("title", "owner", "authority"),
    ),
    Table("job_day", "job VARCHAR; day DATE", whole=("job",)),
    Table(
        "work_package",
        "job VARCHAR; work_package VARCHAR; title VARCHAR; control_account VARCHAR;"
        "trade VARCHAR; budget_ms BIGINT; planned_start DATE; planned_finish DATE;"
        f"technique VARCHAR; spread VARCHAR; quantity {_QUANTITY}; unit VARCHAR;"
        f"start_share {_SHARE}; base_package VARCHAR; cost_rate BIGINT; package_kind VARCHAR;"
        "work_kind VARCHAR",
        whole=("job",),
        erasable=("title",),
    ),
    Table(
        "milestone",
        "job VARCHAR; work_package VARCHAR; milestone VARCHAR;"
        f"weight {_QUANTITY}; planned_date DATE",
        key=("job", "work_package", "milestone"),
    ),
    Table(
        "plan_line",
        "job VARCHAR; work_package VARCHAR; trade VARCHAR; day DATE; ms BIGINT",
        key=("job", "work_package", "trade", "day"),
    ),
    Table(
        "budget_posting",
        "job VARCHAR; source VARCHAR; reference VARCHAR; part VARCHAR; trade VARCHAR;"
        "package_kind VARCHAR; ms BIGINT; budget_rate BIGINT; counts_from DATE; place BIGINT",
    ),
    Table(
        "plan_posting",
        "job VARCHAR; source VARCHAR; reference VARCHAR; part VARCHAR; trade VARCHAR;"
        "day DATE; ms BIGINT; budget_rate BIGINT; counts_from DATE; place BIGINT",
    ),
    Table(
        "baseline_change",
        "job VARCHAR; name VARCHAR; position BIGINT; day DATE; person VARCHAR;"
        "reference VARCHAR; work_package VARCHAR; trade VARCHAR; ms BIGINT;"
        f"contract_sum {_MONEY}",
        whole=("job", "name"),
        erasable=("reference",),
        persons=("person",),
    ),
    Table(
        "progress",
        "job VARCHAR; work_package VARCHAR; trade VARCHAR; day DATE; milestone VARCHAR;"
        f"percent {_QUANTITY}; quantity_done {_QUANTITY}; quantity_at_completion {_QUANTITY};"
        "started DATE; finished DATE; estimate_to_complete_ms BIGINT; note VARCHAR",
        key=("job", "work_package", "trade", "day", "milestone"),
        erasable=("note",),
    ),
    Table(
        "change",
        "job VARCHAR; change VARCHAR; title VARCHAR; requested_by VARCHAR; requested_on DATE;"
        "change_basis VARCHAR; origin VARCHAR; description VARCHAR; decision_needed_by DATE;"
        "days_requested BIGINT",
        key=("job", "change"),
        erasable=("title", "description"),
        persons=("requested_by",),
    ),
    Table(
        "change_line",
        "job VARCHAR; change VARCHAR; revision BIGINT; position BIGINT; price_kind VARCHAR;"
        f"description VARCHAR; trade VARCHAR; grade VARCHAR; ms BIGINT; quantity {_QUANTITY};"
        f"unit VARCHAR; unit_price {_MONEY}; work_package VARCHAR; planned_start DATE;"
        f"planned_finish DATE; technique VARCHAR; addition_percent {_QUANTITY};"
        "addition_on VARCHAR; addition_of VARCHAR; addition_method VARCHAR;"
        "provisional_sum VARCHAR; owner_text VARCHAR",
        whole=("job", "change", "revision"),
        erasable=("description", "owner_text"),
    ),
    Table(
        "change_event",
        "job VARCHAR; change VARCHAR; event VARCHAR; day DATE; person VARCHAR; revision BIGINT;"
        "reference VARCHAR; valid_until DATE; rough BOOLEAN; not_to_exceed BOOLEAN;"
        f"days_granted BIGINT; condition VARCHAR; agreed_value {_MONEY}; agreed_ms BIGINT;"
        "days_requested BIGINT; aware_on DATE; received_on DATE; document VARCHAR; note VARCHAR",
        key=("job", "change", "event", "day", "revision"),
        erasable=("reference", "condition", "document", "note"),
        persons=("person",),
    ),
    Table(
        "daywork_item",
        "job VARCHAR; change VARCHAR; number BIGINT; day DATE; cost_kind VARCHAR;"
        f"description VARCHAR; quantity {_QUANTITY}; unit VARCHAR; unit_cost {_MONEY};"
        "reference VARCHAR",
        key=("job", "change", "number"),
        erasable=("description", "reference"),
    ),
    Table(
        "daywork_sheet",
        "job VARCHAR; change VARCHAR; daywork_sheet VARCHAR; position BIGINT; day_from DATE;"
        "day_to DATE; agreed_on DATE; mark VARCHAR; person VARCHAR; worker_id VARCHAR; day DATE;"
        f"agreed_ms BIGINT; item BIGINT; agreed_quantity {_QUANTITY}; reason VARCHAR;"
        "document VARCHAR",
        whole=("job", "change", "daywork_sheet"),
        erasable=("reason",),
        persons=("person",),
    ),
    # `document` is the number as printed; `known_at` the batch that its page was known at.
    Table(
        "document",
        "kind VARCHAR; job VARCHAR; change VARCHAR; revision BIGINT; day_from DATE; day_to DATE;"
        "mark VARCHAR; series VARCHAR; number BIGINT; document VARCHAR; issued_on DATE;"
        "prepared_by VARCHAR; known_at BIGINT; content_digest VARCHAR; sha256 VARCHAR;"
        "retain_until DATE",
        erasable=("content_digest", "sha256"),
        persons=("prepared_by",),
    ),
    # The n-th sending of a document; what was answered is a version of the same row.
    Table(
        "sending",
        "document VARCHAR; number BIGINT; sent_to VARCHAR; sent_on DATE; sent_by VARCHAR;"
        "reply_due DATE; replied_on DATE; replied_by VARCHAR; answer VARCHAR; note VARCHAR;"
        "attached_batch BIGINT; attached_row BIGINT",
        key=("document", "number"),
        erasable=("answer", "note"),
        persons=("sent_to", "replied_by"),
    ),
    Table(
        "job_cost",
        f"job VARCHAR; day DATE; cost_kind VARCHAR; amount {_MONEY};"
        f"forecast_remaining {_MONEY}; uninstalled {_MONEY}",
        key=("job", "day", "cost_kind"),
    ),
    Table(
        "claim_percent",
        f"job VARCHAR; item VARCHAR; day DATE; percent {_QUANTITY}; amount {_MONEY};"
        "on_account BOOLEAN",
        key=("job", "item", "day"),
    ),
    # The lines of a claim as it was issued: value to date, what was certified before, the rest.
    Table(
        "document_line",
        "document VARCHAR; position BIGINT; claim_kind VARCHAR; item VARCHAR; change VARCHAR;"
        f"description VARCHAR; quantity {_QUANTITY}; unit VARCHAR; unit_price {_QUANTITY};"
        f"to_date {_MONEY}; before {_MONEY}; amount {_MONEY}",
        erasable=("description",),
    ),
    # Time of an entry as a claim takes it up, signed; the place is a change, or a package.
    Table(
        "claim_posting",
        "entry_batch BIGINT; entry_row BIGINT; job VARCHAR; booked_to VARCHAR; document VARCHAR;"
        "position BIGINT; ms BIGINT",
    ),
    # `claim` is the n-th claim of the job.
    Table(
        "certified",
        f"job VARCHAR; claim BIGINT; day DATE; item VARCHAR; amount {_MONEY}; reason VARCHAR",
        key=("job", "claim", "item", "day"),
        erasable=("reason",),
    ),
    Table(
        "attachment",
        "job VARCHAR; change VARCHAR; event VARCHAR; day DATE; revision BIGINT; name VARCHAR;"
        "sha256 VARCHAR",
        erasable=("name", "sha256"),
    ),
)

# The tables of facts that are typed or loaded in small files, and can be withdrawn.
WITHDRAWABLE = frozenset(
    {
        *("rate", "charge_rate", "crew", "attendance", "rule", "hand_tag", "setting"),
        "worker_alias",
        *("job", "work_package", "milestone", "plan_line", "baseline_change", "progress"),
        *("change", "change_line", "change_event", "daywork_item", "daywork_sheet"),
        *("sending", "job_cost", "claim_percent", "certified"),
    }
)
