-- hours_by_tagging: by week, the time booked by what says where it belongs; of it the time whose place is doubtful.
-- In:  $job VARCHAR, that it is booked to, null for all; $doubtful VARCHAR[], entries as batch.row; $upto BIGINT, the last batch that counts
-- Out: week DATE, its first day; booked_ms DECIMAL(38,0), milliseconds; code_ms DECIMAL(38,0), milliseconds; rule_ms DECIMAL(38,0), milliseconds; hand_ms DECIMAL(38,0), milliseconds; untagged_ms DECIMAL(38,0), milliseconds; doubtful_ms DECIMAL(38,0), milliseconds, of the four before, untagged left out
WITH doubtful AS (
    SELECT DISTINCT split_part(entry, '.', 1)::BIGINT AS entry_batch, split_part(entry, '.', 2)::BIGINT AS entry_row
    FROM (SELECT unnest($doubtful::VARCHAR[]) AS entry)
),

by_hand AS (
    SELECT e.batch AS entry_batch, e.row AS entry_row
    FROM known_entry($upto) AS e
    SEMI JOIN current_hand_tag($upto) AS t ON t.line_batch = e.line_batch AND t.line_row = e.line_row
),

placed AS (
    SELECT
        entry_batch,
        entry_row,
        day,
        booked_to,
        sum(ms) AS ms,
        arg_max(reason, (batch, row)) FILTER (WHERE ms > 0) AS reason
    FROM known_posting($upto)
    WHERE $job::VARCHAR IS NULL OR job = $job
    GROUP BY entry_batch, entry_row, day, job, booked_to, cause, rework
    HAVING sum(ms) > 0
),

standing AS (
    SELECT
        p.*,
        CASE
            WHEN p.booked_to = 'untagged' THEN 'untagged'
            WHEN h.entry_batch IS NOT NULL THEN 'hand'
            WHEN p.reason IN ('crew_hours', 'all_crew_hours') THEN 'rule'
            WHEN p.reason = 'no_crew_hours' THEN 'code'
            ELSE p.reason
        END AS tagged_by,
        d.entry_batch IS NOT NULL AND p.booked_to <> 'untagged' AS is_doubtful
    FROM placed AS p
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    LEFT JOIN by_hand AS h ON h.entry_batch = p.entry_batch AND h.entry_row = p.entry_row
    LEFT JOIN doubtful AS d ON d.entry_batch = p.entry_batch AND d.entry_row = p.entry_row
)

SELECT
    week_begun(s.day, w.first) AS week,
    sum(s.ms)::DECIMAL(38,0) AS booked_ms,
    coalesce(sum(s.ms) FILTER (WHERE s.tagged_by = 'code'), 0)::DECIMAL(38,0) AS code_ms,
    coalesce(sum(s.ms) FILTER (WHERE s.tagged_by = 'rule'), 0)::DECIMAL(38,0) AS rule_ms,
    coalesce(sum(s.ms) FILTER (WHERE s.tagged_by = 'hand'), 0)::DECIMAL(38,0) AS hand_ms,
    coalesce(sum(s.ms) FILTER (WHERE s.tagged_by = 'untagged'), 0)::DECIMAL(38,0) AS untagged_ms,
    coalesce(sum(s.ms) FILTER (WHERE s.is_doubtful), 0)::DECIMAL(38,0) AS doubtful_ms
FROM standing AS s
CROSS JOIN first_weekday($upto) AS w
GROUP BY week
ORDER BY week
