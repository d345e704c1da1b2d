-- left_to_tag: the time that stands untagged, and the time of entries whose place is doubtful, by entry and place.
-- In:  $job VARCHAR, that it is booked to, null for all; $doubtful VARCHAR[], entries as batch.row; $doubts VARCHAR[], of each what is doubtful; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; why VARCHAR, unknown_code, rules_disagree, no_crew_hours, rule, hand or doubtful; doubt VARCHAR; job VARCHAR; place VARCHAR; ms BIGINT, milliseconds
WITH doubtful AS (
    SELECT
        split_part(entry, '.', 1)::BIGINT AS entry_batch,
        split_part(entry, '.', 2)::BIGINT AS entry_row,
        string_agg(doubt, '; ' ORDER BY doubt) AS doubt
    FROM (SELECT unnest($doubtful::VARCHAR[]) AS entry, unnest($doubts::VARCHAR[]) AS doubt)
    GROUP BY entry
),

placed AS (
    SELECT
        p.entry_batch,
        p.entry_row,
        p.job,
        p.booked_to,
        p.cause,
        sum(p.ms)::BIGINT AS ms,
        arg_max(p.reason, (p.batch, p.row)) FILTER (WHERE p.ms > 0) AS reason,
        any_value(d.doubt) AS doubt
    FROM known_posting($upto) AS p
    LEFT JOIN doubtful AS d ON d.entry_batch = p.entry_batch AND d.entry_row = p.entry_row
    WHERE p.booked_to = 'untagged' OR d.entry_batch IS NOT NULL
    GROUP BY p.entry_batch, p.entry_row, p.job, p.booked_to, p.cause
    HAVING sum(p.ms) > 0
)

SELECT
    p.entry_batch,
    p.entry_row,
    CASE WHEN p.booked_to = 'untagged' THEN p.reason ELSE 'doubtful' END AS why,
    CASE WHEN p.booked_to <> 'untagged' THEN p.doubt END AS doubt,
    p.job,
    concat_ws(' ', p.job, p.booked_to, p.cause) AS place,
    p.ms
FROM placed AS p
ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
WHERE $job::VARCHAR IS NULL OR p.job = $job
ORDER BY p.entry_batch, p.entry_row, place
