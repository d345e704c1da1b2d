-- doubts_paid_leave: workers paid leave of days that they worked, some of it on time that may be claimed.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE, the last with such time; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH claimable AS (
    SELECT p.entry, sum(p.ms) AS ms
    FROM staged_doubt_place AS p
    LEFT JOIN current_change($upto) AS c ON c.job = p.job AND c.change = p.booked_to
    LEFT JOIN current_job($upto) AS j ON j.job = p.job
    WHERE c.change_basis = 'daywork' OR j.contract_basis = 'time_charge'
    GROUP BY p.entry
)

SELECT
    l.worker_id,
    max(e.day) AS day,
    list(e.entry ORDER BY e.batch, e.row) AS entries,
    concat_ws(' ', l.worker_id, l.period_start, l.period_end, l.paid_ms, string_agg(e.entry, ' ' ORDER BY e.batch, e.row)) AS about,
    'worker ' || l.worker_id || ' was paid ' || hours_text(l.paid_ms) || ' h of leave from ' || l.period_start || ' to '
        || l.period_end || ', ' || hours_text(l.over_ms) || ' h of it on days that were worked; '
        || hours_text(sum(c.ms)::BIGINT) || ' h of these days may be claimed' AS message
FROM staged_doubt_leave AS l
INNER JOIN staged_doubt_entry AS e
    ON e.worker_id = l.worker_id AND e.day BETWEEN l.period_start AND l.period_end
INNER JOIN claimable AS c ON c.entry = e.entry
GROUP BY l.worker_id, l.period_start, l.period_end, l.paid_ms, l.over_ms
ORDER BY day, l.worker_id
