-- doubts_trade_not_planned: workers with time booked to a package or a change whose estimate or price names no such trade.
-- In:  none
-- Out: worker_id VARCHAR; day DATE, the last one; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
-- One doubt for a worker's trade at a place: more of the same hours do not bring it back once it is settled.
WITH worked AS (
    SELECT e.entry, e.batch, e.row, e.worker_id, e.day, e.trade AS sheet_trade, p.job, p.booked_to, sum(p.ms)::BIGINT AS ms
    FROM staged_doubt_entry AS e
    INNER JOIN staged_doubt_place AS p ON p.entry = e.entry
    WHERE p.job IS NOT NULL
    GROUP BY e.entry, e.batch, e.row, e.worker_id, e.day, e.trade, p.job, p.booked_to
),

by_trade AS (
    SELECT w.*, coalesce(w.sheet_trade, c.trade) AS trade
    FROM worked AS w
    LEFT JOIN staged_crew_known AS c ON c.worker_id = w.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY w.entry, w.job, w.booked_to
        ORDER BY c.active_from <= w.day DESC,
            CASE WHEN c.active_from <= w.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    t.worker_id,
    max(t.day) AS day,
    list(t.entry ORDER BY t.batch, t.row) AS entries,
    concat_ws(' ', t.worker_id, t.trade, t.job, t.booked_to, array_to_string(d.trades, ' ')) AS about,
    'worker ' || t.worker_id || ' (' || t.trade || ') has ' || hours_text(sum(t.ms)::BIGINT) || ' h booked to '
        || t.job || ' ' || t.booked_to || ', planned for ' || array_to_string(d.trades, ', ') || ' only' AS message
FROM by_trade AS t
INNER JOIN staged_doubt_planned AS d ON d.job = t.job AND d.place = t.booked_to
WHERE NOT list_contains(d.trades, t.trade)
GROUP BY t.worker_id, t.trade, t.job, t.booked_to, d.trades
ORDER BY day, t.worker_id, about
