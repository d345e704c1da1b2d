-- places_kept: entries of closed periods, and claimed ones, that codes and rules would book elsewhere now.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; day DATE; worker_id VARCHAR; ms BIGINT, milliseconds that would move; from_place VARCHAR; to_place VARCHAR; is_claimed BOOLEAN
WITH moving AS (
    SELECT
        entry_batch,
        entry_row,
        day,
        worker_id,
        ms,
        concat_ws(' ', job, booked_to, cause, rework) AS place,
        (entry_batch, entry_row) IN (SELECT (batch, row) FROM claimed_entry($upto)) AS is_claimed
    FROM staged_difference
)

SELECT
    entry_batch || '.' || entry_row AS entry,
    day,
    worker_id,
    coalesce(sum(ms) FILTER (WHERE ms > 0), 0)::BIGINT AS ms,
    string_agg(place, ', ' ORDER BY place) FILTER (WHERE ms < 0) AS from_place,
    string_agg(place, ', ' ORDER BY place) FILTER (WHERE ms >= 0) AS to_place,
    is_claimed
FROM moving
GROUP BY entry_batch, entry_row, day, worker_id, is_claimed
ORDER BY day, entry_batch, entry_row
