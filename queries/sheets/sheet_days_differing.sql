-- sheet_days_differing: the sheets' worker-days of which a file gives other lines than the book has.
-- In:  $is_seen BOOLEAN, the file was loaded before; $upto BIGINT, the last batch that counts
-- Out: sheet VARCHAR, folded; worker_id VARCHAR; day DATE; is_mended BOOLEAN, only held lines are replaced, one by one
WITH days_of_file AS (
    SELECT
        g.sheet,
        g.worker_id,
        g.day,
        count(*) FILTER (WHERE g.outcome IN ('booked', 'held')) AS new_lines,
        count(*) FILTER (WHERE g.outcome IN ('booked', 'held') AND g.near_batch IS NULL) AS other_lines,
        count(*) FILTER (WHERE g.outcome = 'booked') AS readable_lines,
        -- Equal sums of hashes tell that the same codes are there, however many lines there are.
        sum(hash(g.booking_code)) FILTER (WHERE g.outcome IN ('booked', 'held')) AS new_codes,
        count(*) FILTER (WHERE g.outcome LIKE 'already%' AND h.line_batch IS NULL) AS older_lines
    FROM staged_sheet_of_file AS g
    LEFT JOIN staged_sheet_had AS h ON h.line_batch = g.line_batch AND h.line_row = g.line_row
    WHERE g.sheet IS NOT NULL AND g.worker_id IS NOT NULL AND g.day IS NOT NULL
    GROUP BY g.sheet, g.worker_id, g.day
),

matched_lines AS (
    SELECT line_batch, line_row
    FROM staged_sheet_of_file
    UNION
    SELECT near_batch AS line_batch, near_row AS line_row
    FROM staged_sheet_of_file
    WHERE near_batch IS NOT NULL
),

-- A line that waits for a question of its own is not missed where a file is without it.
had AS (
    SELECT
        h.sheet,
        h.worker_id,
        h.day,
        count(*) FILTER (WHERE f.line_batch IS NULL AND NOT h.is_question) AS missing_lines,
        count(*) FILTER (WHERE f.line_batch IS NULL
            AND h.held_for IN ('hours_missing', 'hours_unreadable', 'times_unreadable', 'over_24_hours')) AS missing_faulty,
        sum(hash(h.booking_code)) FILTER (WHERE f.line_batch IS NULL AND NOT h.is_question) AS missing_codes
    FROM staged_sheet_had AS h
    LEFT JOIN matched_lines AS f ON f.line_batch = h.line_batch AND f.line_row = h.line_row
    GROUP BY h.sheet, h.worker_id, h.day
),

differing AS (
    SELECT
        g.sheet,
        g.worker_id,
        g.day,
        h.missing_lines = h.missing_faulty
            AND g.new_lines = h.missing_lines
            AND g.readable_lines = g.new_lines
            AND g.new_codes IS NOT DISTINCT FROM h.missing_codes AS is_mended
    FROM days_of_file AS g
    INNER JOIN had AS h ON h.sheet = g.sheet AND h.worker_id = g.worker_id AND h.day = g.day
    WHERE g.other_lines > 0
        OR (h.missing_lines > 0 AND g.older_lines = 0 AND (g.new_lines > 0 OR NOT $is_seen::BOOLEAN))
),

lines_of_file AS (
    SELECT
        g.sheet,
        g.worker_id,
        g.day,
        list((g.line_batch, g.line_row) ORDER BY g.line_batch, g.line_row) AS lines
    FROM staged_sheet_of_file AS g
    SEMI JOIN differing AS d ON d.sheet = g.sheet AND d.worker_id = g.worker_id AND d.day = g.day
    GROUP BY g.sheet, g.worker_id, g.day
),

reissues_known AS (
    SELECT sheet_alike(sheet) AS sheet, worker_id, day, list((line_batch, line_row) ORDER BY line_batch, line_row) AS lines
    FROM reissue($upto)
    WHERE ended IS DISTINCT FROM 'confirmed'
    GROUP BY file_batch, file_row, sheet_alike(sheet), worker_id, day
)

-- Lines that were in the book before and do not stand are an older issue: it says nothing new.
SELECT d.sheet, d.worker_id, d.day, d.is_mended
FROM differing AS d
INNER JOIN lines_of_file AS g ON g.sheet = d.sheet AND g.worker_id = d.worker_id AND g.day = d.day
ANTI JOIN reissues_known AS t ON t.sheet = d.sheet AND t.worker_id = d.worker_id AND t.day = d.day AND t.lines = g.lines
ORDER BY d.sheet, d.worker_id, d.day
