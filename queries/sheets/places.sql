-- places: for each combination of what decides, where hours are booked by its code and the rules, in which shares and why.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job_given VARCHAR; booking_code VARCHAR; by_worker VARCHAR; by_day DATE; by_note VARCHAR; by_trade VARCHAR; position BIGINT; places BIGINT, how many positions there are; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR, of the rule; share_units BIGINT, 1/1000000000; reason VARCHAR; rule VARCHAR
WITH by_code AS (
    SELECT row_number() OVER () AS key_id, *
    FROM staged_place_by_code
),

one_job AS (
    SELECT code, any_value(job) AS job
    FROM staged_code
    WHERE job IS NOT NULL
    GROUP BY code
    HAVING count(DISTINCT job) = 1
),

rules AS (
    SELECT
        rule,
        any_value(priority) AS priority,
        any_value(booking_code) AS booking_code,
        any_value(note_contains) AS note_contains,
        any_value(note_matches) AS note_matches,
        any_value(worker_id) AS worker_id,
        any_value(trade) AS trade,
        any_value(job) AS job,
        any_value(day_from) AS day_from,
        any_value(day_to) AS day_to,
        list((coalesce(booked_to, ''), coalesce(cause, ''), share, coalesce(rework, '')) ORDER BY position) AS result
    FROM current_rule($upto)
    GROUP BY rule
),

matched AS (
    SELECT k.key_id, r.rule, r.result
    FROM by_code AS k
    INNER JOIN rules AS r
        ON (r.booking_code IS NULL OR r.booking_code = k.booking_code)
        AND (r.note_contains IS NULL OR contains(word_of(k.by_note), r.note_contains))
        AND (r.note_matches IS NULL OR regexp_matches(k.by_note, r.note_matches))
        AND (r.worker_id IS NULL OR r.worker_id = k.by_worker)
        AND (r.trade IS NULL OR r.trade = k.by_trade)
        AND (r.job IS NULL OR r.job = k.job_meant)
        AND (r.day_from IS NULL OR r.day_from <= k.by_day)
        AND (r.day_to IS NULL OR r.day_to >= k.by_day)
    QUALIFY r.priority = min(r.priority) OVER (PARTITION BY k.key_id)
),

chosen AS (
    SELECT key_id, min(rule) AS rule, count(DISTINCT result) AS results
    FROM matched
    GROUP BY key_id
),

by_rule AS (
    SELECT
        h.key_id,
        r.position,
        r.share,
        r.rework,
        r.rule,
        CASE
            WHEN r.booked_to IS NULL THEN b.job
            WHEN r.booked_to IN ('OVERHEAD', 'ABSENCE') THEN NULL
            WHEN r.booked_to IN ('NON_PRODUCTIVE', 'UNTAGGED') THEN b.job_meant
            WHEN b.job_meant IS NOT NULL THEN b.job_meant
            ELSE o.job
        END AS job,
        CASE
            WHEN r.booked_to IS NULL THEN b.booked_to
            WHEN r.booked_to = 'NON_PRODUCTIVE' AND b.job_meant IS NULL THEN 'untagged'
            WHEN r.booked_to IN ('OVERHEAD', 'ABSENCE', 'NON_PRODUCTIVE', 'UNTAGGED') THEN word_of(r.booked_to)
            ELSE coalesce(c.booked_to, 'untagged')
        END AS booked_to,
        CASE WHEN r.booked_to IS NULL THEN coalesce(r.cause, b.cause) ELSE coalesce(r.cause, c.cause) END AS cause,
        CASE WHEN r.booked_to IS NULL AND b.reason = 'unknown_code' THEN 'unknown_code' ELSE 'rule' END AS reason
    FROM chosen AS h
    INNER JOIN current_rule($upto) AS r ON r.rule = h.rule
    INNER JOIN by_code AS b ON b.key_id = h.key_id
    LEFT JOIN one_job AS o ON o.code = r.booked_to
    LEFT JOIN staged_code AS c ON c.job = coalesce(b.job_meant, o.job) AND c.code = r.booked_to
    WHERE h.results = 1
),

placed AS (
    SELECT key_id, position, job, booked_to, cause, rework, (share::DECIMAL(38,9) * 1000000000)::BIGINT AS share_units, reason, rule
    FROM by_rule
    UNION ALL
    SELECT
        h.key_id,
        1 AS position,
        k.job_meant AS job,
        'untagged' AS booked_to,
        NULL::VARCHAR AS cause,
        NULL::VARCHAR AS rework,
        1000000000 AS share_units,
        'rules_disagree' AS reason,
        NULL::VARCHAR AS rule
    FROM chosen AS h
    INNER JOIN by_code AS k ON k.key_id = h.key_id
    WHERE h.results > 1
    UNION ALL
    SELECT
        b.key_id,
        1 AS position,
        b.job,
        b.booked_to,
        b.cause,
        NULL::VARCHAR AS rework,
        1000000000 AS share_units,
        b.reason,
        NULL::VARCHAR AS rule
    FROM by_code AS b
    WHERE b.key_id NOT IN (SELECT key_id FROM chosen)
)

SELECT
    k.job_given,
    k.booking_code,
    k.by_worker,
    k.by_day,
    k.by_note,
    k.by_trade,
    p.position,
    count(*) OVER (PARTITION BY k.key_id) AS places,
    p.job,
    p.booked_to,
    p.cause,
    p.rework,
    p.share_units,
    p.reason,
    p.rule
FROM placed AS p
INNER JOIN by_code AS k ON k.key_id = p.key_id
ORDER BY k.key_id, p.position
