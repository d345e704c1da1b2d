-- tagged_time: the time that stands tagged, without the entries left to tag, by worker, day, trade, note, code and place.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; week DATE, its first day; trade VARCHAR; note VARCHAR; code VARCHAR; is_decided BOOLEAN, by a rule or by hand; job VARCHAR; booked_to VARCHAR; cause VARCHAR; ms DECIMAL(38,0), milliseconds; entries BIGINT
WITH placed AS (
    SELECT
        p.entry_batch,
        p.entry_row,
        p.worker_id,
        p.day,
        p.trade,
        p.job,
        p.booked_to,
        p.cause,
        sum(p.ms) AS ms,
        coalesce(arg_max(p.reason, (p.batch, p.row)) FILTER (WHERE p.ms > 0) IN ('rule', 'hand'), false) AS is_decided
    FROM known_posting($upto) AS p
    ANTI JOIN staged_left AS l ON l.entry_batch = p.entry_batch AND l.entry_row = p.entry_row
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    WHERE p.booked_to <> 'untagged'
    GROUP BY p.entry_batch, p.entry_row, p.worker_id, p.day, p.trade, p.job, p.booked_to, p.cause
    HAVING sum(p.ms) > 0
),

crew AS (
    SELECT d.worker_id, d.day, c.trade
    FROM (SELECT DISTINCT worker_id, day FROM placed) AS d
    INNER JOIN current_crew($upto) AS c ON c.worker_id = d.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY d.worker_id, d.day
        ORDER BY c.active_from <= d.day DESC,
            CASE WHEN c.active_from <= d.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    p.worker_id,
    p.day,
    week_begun(p.day, w.first) AS week,
    coalesce(p.trade, c.trade) AS trade,
    e.note,
    e.booking_code AS code,
    p.is_decided,
    p.job,
    p.booked_to,
    p.cause,
    sum(p.ms)::DECIMAL(38,0) AS ms,
    count(*) AS entries
FROM placed AS p
INNER JOIN known_entry($upto) AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
LEFT JOIN crew AS c ON c.worker_id = p.worker_id AND c.day = p.day
CROSS JOIN first_weekday($upto) AS w
GROUP BY p.worker_id, p.day, week, coalesce(p.trade, c.trade), e.note, e.booking_code, p.is_decided, p.job, p.booked_to, p.cause
ORDER BY p.worker_id, p.day, p.job, p.booked_to, p.cause, note, code, trade, p.is_decided
