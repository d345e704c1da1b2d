"""The fact tables: their columns, what identifies a row, and which rows stand or fall together."""

from dataclasses import dataclass
from functools import cached_property

VERSION = 3
# The oldest schema that `MIGRATIONS` leads on from; a book of an earlier one is refused.
OLDEST = 3


@dataclass(frozen=True)
class Table:
    """One fact table.

    `key` names the columns of which the newest row counts; `whole` those whose newest batch counts
    as a whole. A table with neither is a ledger: all its rows count.
    """

    name: str
    text: str
    key: tuple[str, ...] = ()
    whole: tuple[str, ...] = ()

    @cached_property
    def columns(self) -> dict[str, str]:
        """Return the type of each column of its own, in order."""
        pairs = (part.split(maxsplit=1) for part in self.text.split(";") if part.strip())
        return {name: kind.strip() for name, kind in pairs}


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
    ),
    Table("content", "sha256 VARCHAR; media_type VARCHAR; byte_count BIGINT", key=("sha256",)),
    Table("setting", "name VARCHAR; value VARCHAR", key=("name",)),
    Table(
        "sheet_line",
        "file_batch BIGINT; file_row BIGINT; line BIGINT; line_key BLOB; raw VARCHAR",
    ),
    Table(
        "line_outcome",
        "line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR",
    ),
    Table(
        "entry",
        "line_batch BIGINT; line_row BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE;"
        "ms BIGINT; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT;"
        "booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR;"
        "trade VARCHAR; rework VARCHAR; approved_by VARCHAR;"
        "reverses_batch BIGINT; reverses_row BIGINT",
    ),
    Table(
        "posting",
        "entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR;"
        "pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR;"
        "ms BIGINT; reason VARCHAR; rule VARCHAR",
    ),
    Table("closing", "closed_to DATE; sequence BIGINT; reason VARCHAR", key=("closed_to",)),
    Table("reversal", "entry_batch BIGINT; entry_row BIGINT; reason VARCHAR"),
    Table(
        "line_correction",
        "line_batch BIGINT; line_row BIGINT; field VARCHAR; was VARCHAR; now VARCHAR",
    ),
    Table("corrected_line", "line_batch BIGINT; line_row BIGINT; line_key BLOB"),
    Table(
        "reissued_line",
        "file_batch BIGINT; file_row BIGINT; line BIGINT; job_given VARCHAR; sheet VARCHAR;"
        "worker_id VARCHAR; day DATE; line_batch BIGINT; line_row BIGINT",
    ),
    Table(
        "reissue_end",
        "reissue_batch BIGINT; reissue_row BIGINT; ended VARCHAR; reason VARCHAR",
    ),
    Table(
        "doubt_settled",
        "kind VARCHAR; about VARCHAR; settled BOOLEAN; reason VARCHAR",
        key=("kind", "about"),
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
        f"trade VARCHAR; job VARCHAR; day_from DATE; day_to DATE; share {_SHARE}; rework VARCHAR",
        whole=("rule",),
    ),
    Table("worker_name", "worker_id VARCHAR; name_hash VARCHAR", key=("worker_id",)),
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
        "key_dates VARCHAR",
        key=("job",),
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
        "package_kind VARCHAR; ms BIGINT; budget_rate BIGINT; counts_from DATE",
    ),
    Table(
        "plan_posting",
        "job VARCHAR; source VARCHAR; reference VARCHAR; part VARCHAR; trade VARCHAR;"
        "day DATE; ms BIGINT; budget_rate BIGINT; counts_from DATE",
    ),
    Table(
        "baseline_change",
        "job VARCHAR; name VARCHAR; position BIGINT; day DATE; person VARCHAR;"
        "reference VARCHAR; work_package VARCHAR; trade VARCHAR; ms BIGINT;"
        f"contract_sum {_MONEY}",
        whole=("job", "name"),
    ),
    Table(
        "progress",
        "job VARCHAR; work_package VARCHAR; trade VARCHAR; day DATE; milestone VARCHAR;"
        f"percent {_QUANTITY}; quantity_done {_QUANTITY}; quantity_at_completion {_QUANTITY};"
        "started DATE; finished DATE; estimate_to_complete_ms BIGINT; note VARCHAR",
        key=("job", "work_package", "trade", "day", "milestone"),
    ),
    Table(
        "change",
        "job VARCHAR; change VARCHAR; title VARCHAR; requested_by VARCHAR; requested_on DATE;"
        "change_basis VARCHAR; origin VARCHAR; description VARCHAR; decision_needed_by DATE;"
        "days_requested BIGINT",
        key=("job", "change"),
    ),
    Table(
        "change_line",
        "job VARCHAR; change VARCHAR; revision BIGINT; position BIGINT; price_kind VARCHAR;"
        f"description VARCHAR; trade VARCHAR; grade VARCHAR; ms BIGINT; quantity {_QUANTITY};"
        f"unit VARCHAR; unit_price {_MONEY}; work_package VARCHAR; planned_start DATE;"
        "planned_finish DATE; technique VARCHAR",
        whole=("job", "change", "revision"),
    ),
    Table(
        "change_event",
        "job VARCHAR; change VARCHAR; event VARCHAR; day DATE; person VARCHAR; revision BIGINT;"
        "reference VARCHAR; valid_until DATE; rough BOOLEAN; not_to_exceed BOOLEAN;"
        "days_granted BIGINT; note VARCHAR",
        key=("job", "change", "event", "day", "revision"),
    ),
)

# Columns that are kept out of the sealed text: a worker's name, so that it can be erased, and bytes
# of content. What is sealed of them is their digest.
UNSEALED = {
    "worker_name": {"name": "VARCHAR", "name_salt": "BLOB"},
    "content": {"data": "BLOB"},
}
