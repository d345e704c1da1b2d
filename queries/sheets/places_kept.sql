-- places_kept: entries of closed periods that codes and rules would book elsewhere now.
-- In:  none
-- Out: entry VARCHAR, as batch.row; day DATE; worker_id VARCHAR; ms BIGINT, milliseconds that would move; from_place VARCHAR; to_place VARCHAR
WITH moving AS (
    SELECT
        entry_batch,
        entry_row,
        day,
        worker_id,
        ms,
        concat_ws(' ', job, booked_to, cause, rework) AS place
    FROM staged_difference
)

SELECT
    entry_batch || '.' || entry_row AS entry,
    day,
    worker_id,
    coalesce(sum(ms) FILTER (WHERE ms > 0), 0)::BIGINT AS ms,
    string_agg(place, ', ' ORDER BY place) FILTER (WHERE ms < 0) AS from_place,
    string_agg(place, ', ' ORDER BY place) FILTER (WHERE ms >= 0) AS to_place
FROM moving
GROUP BY entry_batch, entry_row, day, worker_id
ORDER BY day, entry_batch, entry_row
