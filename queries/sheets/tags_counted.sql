-- tags_counted: how many tags are new, as before, of closed periods or of claimed entries, with their time.
-- In:  none
-- Out: state VARCHAR, tag, as_before, closed or claimed; is_closed BOOLEAN; entries BIGINT; ms DECIMAL(38,0), milliseconds; first VARCHAR, an entry as batch.row
SELECT
    state,
    is_closed,
    count(*) AS entries,
    sum(ms)::DECIMAL(38,0) AS ms,
    arg_min(entry_batch || '.' || entry_row, (day, entry_batch, entry_row)) AS first
FROM staged_tag
GROUP BY state, is_closed
ORDER BY state, is_closed
