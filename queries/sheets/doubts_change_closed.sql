-- doubts_change_closed: time booked to a change on a day after it was declined, withdrawn, stopped or complete.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH worked AS (
    SELECT e.entry, e.worker_id, e.day, c.job, c.change, sum(p.ms)::BIGINT AS ms
    FROM staged_doubt_entry AS e
    INNER JOIN staged_doubt_place AS p ON p.entry = e.entry
    INNER JOIN current_change($upto) AS c ON c.job = p.job AND c.change = p.booked_to
    WHERE p.rework IS NULL
    GROUP BY e.entry, e.worker_id, e.day, c.job, c.change
),

-- A price declined closes nothing while the owner's instruction stands; a price offered opens nothing that was stopped.
events AS (
    SELECT
        w.entry,
        w.worker_id,
        w.day,
        w.ms,
        v.job,
        v.change,
        v.event,
        v.day AS since,
        (v.day, v.first_batch, v.first_row) AS place,
        v.event IN ('instructed', 'approved', 'accepted', 'stopped') AS is_order,
        v.event IN ('submitted', 'approved', 'declined', 'disputed', 'counter_offer', 'accepted', 'withdrawn') AS is_price
    FROM worked AS w
    INNER JOIN recorded_change_event($upto) AS v ON v.job = w.job AND v.change = w.change AND v.day < w.day
),

standing AS (
    SELECT
        entry,
        worker_id,
        day,
        ms,
        job,
        change,
        max(since) FILTER (WHERE event = 'complete') AS complete_since,
        arg_max(event, place) FILTER (WHERE is_order) AS order_event,
        arg_max(since, place) FILTER (WHERE is_order) AS order_since,
        arg_max(event, place) FILTER (WHERE is_price) AS price_event,
        arg_max(since, place) FILTER (WHERE is_price) AS price_since
    FROM events
    GROUP BY entry, worker_id, day, ms, job, change
),

closed AS (
    SELECT
        entry,
        worker_id,
        day,
        ms,
        job,
        change,
        CASE
            WHEN complete_since IS NOT NULL THEN 'complete'
            WHEN order_event = 'stopped' THEN 'stopped'
            WHEN order_event IS NULL OR order_event <> 'instructed' THEN price_event
        END AS event,
        CASE
            WHEN complete_since IS NOT NULL THEN complete_since
            WHEN order_event = 'stopped' THEN order_since
            ELSE price_since
        END AS since
    FROM standing
)

SELECT
    worker_id,
    day,
    [entry] AS entries,
    entry || ' ' || job || ' ' || change || ' ' || event || ' ' || since AS about,
    'worker ' || worker_id || ' has ' || hours_text(ms) || ' h booked to ' || job || ' ' || change || ' on ' || day
        || ', but the change was ' || replace(event, 'complete', 'completed') || ' on ' || since AS message
FROM closed
WHERE event IN ('declined', 'withdrawn', 'stopped', 'complete')
ORDER BY day, worker_id, about
