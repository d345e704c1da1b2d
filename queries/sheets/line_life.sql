-- line_life: all that happened to a sheet line and its entries, in the order it was recorded.
-- In:  $line_batch BIGINT; $line_row BIGINT; $raw VARCHAR, the line's text; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; recorded_at TIMESTAMP, UTC; actor VARCHAR; event VARCHAR; entry VARCHAR, as batch.row; ms BIGINT, milliseconds; place VARCHAR; detail VARCHAR
WITH entries AS (
    SELECT e.*, t.reason
    FROM known_entry($upto) AS e
    LEFT JOIN known_reversal($upto) AS t ON t.entry_batch = e.batch AND t.entry_row = e.row
    WHERE e.line_batch = $line_batch AND e.line_row = $line_row
),

posted AS (
    SELECT DISTINCT p.batch, p.entry_batch, p.entry_row, p.day, p.rule, p.reason, p.job, p.booked_to
    FROM known_posting($upto) AS p
    SEMI JOIN entries AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
),

-- Why a rule is there, as its version was that counted when the hours were posted.
versions AS (
    SELECT p.batch, r.rule, r.reason
    FROM posted AS p
    INNER JOIN known_rule($upto) AS r ON r.rule = p.rule AND r.batch <= p.batch
    ANTI JOIN known_withdrawal($upto) AS w
        ON w.table_name = 'rule' AND w.fact_batch = r.batch AND w.fact_row = r.row AND w.batch <= p.batch
    QUALIFY r.batch = max(r.batch) OVER (PARTITION BY p.batch, r.rule)
),

-- What the crew had booked in the week when hours were shared out by it.
shared AS (
    SELECT
        p.batch,
        p.reason,
        p.job,
        p.booked_to,
        week_begun(p.day, w.first) AS week,
        sum(c.ms) FILTER (WHERE c.job = p.job AND c.booked_to = p.booked_to) AS ms,
        sum(c.ms) FILTER (WHERE c.job = p.job OR p.reason = 'all_crew_hours') AS of_ms
    FROM posted AS p
    CROSS JOIN first_weekday($upto) AS w
    LEFT JOIN known_crew_hours($upto) AS c
        ON c.week = week_begun(p.day, w.first)
        AND c.batch = (
            SELECT max(k.batch)
            FROM known_crew_hours($upto) AS k
            WHERE k.week = week_begun(p.day, w.first) AND k.batch <= p.batch
        )
    WHERE p.reason IN ('crew_hours', 'all_crew_hours', 'no_crew_hours')
    GROUP BY p.batch, p.reason, p.job, p.booked_to, p.day, w.first
),

shares AS (
    SELECT
        batch,
        reason,
        job,
        booked_to,
        CASE reason
            WHEN 'no_crew_hours' THEN 'no crew hours in the week of ' || week || ', as the code says'
            ELSE 'share by crew hours of the week of ' || week || ': '
                || hours_text(coalesce(ms, 0)) || ' of ' || hours_text(of_ms) || ' h'
                || CASE reason WHEN 'all_crew_hours' THEN ' of all jobs' ELSE '' END
        END AS share
    FROM shared
),

reasons AS (
    SELECT batch, rule, string_agg(DISTINCT reason, '; ' ORDER BY reason) AS reason
    FROM versions
    GROUP BY batch, rule
),

-- The reason of moves of entries whose period was closed before.
late AS (
    SELECT DISTINCT p.batch, p.entry_batch, p.entry_row, a.reason
    FROM posted AS p
    INNER JOIN known_late_adjustment($upto) AS a ON a.batch = p.batch
    SEMI JOIN known_closing($upto) AS c
        ON c.closed_to >= p.day AND c.sequence >= p.entry_batch AND c.batch < p.batch
),

events AS (
    SELECT
        l.batch,
        1 AS step,
        l.row,
        'read' AS event,
        NULL::VARCHAR AS entry,
        NULL::BIGINT AS ms,
        f.name || ':' || l.line AS place,
        $raw::VARCHAR AS detail
    FROM known_sheet_line($upto) AS l
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
    WHERE l.batch = $line_batch AND l.row = $line_row
    UNION ALL
    SELECT
        r.batch,
        2 AS step,
        r.row,
        'read again' AS event,
        NULL::VARCHAR AS entry,
        NULL::BIGINT AS ms,
        f.name || ':' || r.line AS place,
        'as part of a re-issue of sheet ' || r.sheet AS detail
    FROM known_reissued_line($upto) AS r
    INNER JOIN known_file($upto) AS f ON f.batch = r.file_batch AND f.row = r.file_row
    WHERE r.line_batch = $line_batch AND r.line_row = $line_row
    UNION ALL
    SELECT
        batch,
        3 AS step,
        row,
        'corrected' AS event,
        NULL::VARCHAR AS entry,
        NULL::BIGINT AS ms,
        field AS place,
        coalesce('"' || was || '"', 'blank') || ' is now ' || coalesce('"' || now || '"', 'blank') AS detail
    FROM known_line_correction($upto)
    WHERE line_batch = $line_batch AND line_row = $line_row
    UNION ALL
    SELECT
        batch,
        4 AS step,
        row,
        CASE outcome WHEN 'booked' THEN coalesce(reason, 'released') WHEN 'refused' THEN 'rejected' ELSE outcome END AS event,
        NULL::VARCHAR AS entry,
        NULL::BIGINT AS ms,
        CASE outcome WHEN 'held' THEN reason END AS place,
        message AS detail
    FROM known_line_outcome($upto)
    WHERE line_batch = $line_batch AND line_row = $line_row
    UNION ALL
    SELECT
        batch,
        5 AS step,
        row,
        CASE
            WHEN reverses_batch IS NULL THEN 'booked'
            WHEN (reverses_batch, reverses_row) IN (SELECT (batch, row) FROM entries WHERE reverses_batch IS NOT NULL)
                THEN 'reversal undone'
            ELSE 'reversed'
        END AS event,
        batch || '.' || row AS entry,
        ms,
        NULL::VARCHAR AS place,
        CASE WHEN reverses_batch IS NULL
            THEN concat_ws(' ', 'worker ' || worker_id || ' on ' || day, 'code ' || booking_code, 'sheet ' || sheet)
            ELSE 'of ' || reverses_batch || '.' || reverses_row || ': ' || reason END AS detail
    FROM entries
    UNION ALL
    SELECT
        t.batch,
        6 AS step,
        t.row,
        'tagged by hand' AS event,
        NULL::VARCHAR AS entry,
        NULL::BIGINT AS ms,
        concat_ws(' ', t.job, t.booked_to, t.cause, 'rework ' || t.rework) AS place,
        t.reason AS detail
    FROM known_hand_tag($upto) AS t
    WHERE t.line_batch = $line_batch AND t.line_row = $line_row
    UNION ALL
    SELECT
        w.batch,
        6 AS step,
        w.row,
        'tag taken back' AS event,
        NULL::VARCHAR AS entry,
        NULL::BIGINT AS ms,
        'hand_tag:' || t.batch || '.' || t.row AS place,
        w.reason AS detail
    FROM known_hand_tag($upto) AS t
    INNER JOIN known_withdrawal($upto) AS w
        ON w.table_name = 'hand_tag' AND w.fact_batch = t.batch AND w.fact_row = t.row
    WHERE t.line_batch = $line_batch AND t.line_row = $line_row
    UNION ALL
    SELECT
        p.batch,
        7 AS step,
        p.row,
        'posted' AS event,
        p.entry_batch || '.' || p.entry_row AS entry,
        p.ms,
        concat_ws(' ', p.job, p.booked_to, p.cause, 'rework ' || p.rework) AS place,
        concat_ws(': ', concat_ws(' ', CASE WHEN h.reason IS NULL THEN p.reason ELSE 'rule' END, p.rule), r.reason)
            || coalesce('; ' || h.share, '')
            || coalesce('; late adjustment: ' || a.reason, '') AS detail
    FROM known_posting($upto) AS p
    SEMI JOIN entries AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
    LEFT JOIN reasons AS r ON r.batch = p.batch AND r.rule = p.rule
    LEFT JOIN shares AS h
        ON h.batch = p.batch
        AND h.reason = p.reason
        AND h.job IS NOT DISTINCT FROM p.job
        AND h.booked_to = p.booked_to
    LEFT JOIN late AS a ON a.batch = p.batch AND a.entry_batch = p.entry_batch AND a.entry_row = p.entry_row
)

SELECT v.batch, b.recorded_at, b.actor, v.event, v.entry, v.ms, v.place, v.detail
FROM events AS v
LEFT JOIN known_batch($upto) AS b ON b.sequence = v.batch
ORDER BY v.batch, v.step, v.row
