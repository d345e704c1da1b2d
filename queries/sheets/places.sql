-- places: for each combination of what decides, where hours are booked by its code and the rules, in which shares and why.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job_given VARCHAR; booking_code VARCHAR; by_worker VARCHAR; by_day DATE; by_note VARCHAR; by_trade VARCHAR; position BIGINT; places BIGINT, how many positions there are; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR, of the rule; share_units BIGINT, 1/1000000000; reason VARCHAR; rule VARCHAR; job_meant VARCHAR; is_shared BOOLEAN, by what the crew booked: the place is that of the code
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
        *,
        len(result) AS places,
        note_contains IS NOT NULL OR note_matches IS NOT NULL AS has_text,
        dense_rank() OVER (ORDER BY result) AS result_number
    FROM (
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
            list((coalesce(booked_to, ''), coalesce(cause, ''), share, coalesce(share_by, ''), coalesce(rework, '')) ORDER BY position) AS result
        FROM current_rule($upto)
        GROUP BY rule
    )
),

-- Each rule is looked for by one of its conditions: that which fits the fewest, and can be joined by.
looked_for AS (
    SELECT k.key_id, r.rule
    FROM by_code AS k
    INNER JOIN rules AS r ON r.worker_id = k.by_worker
    UNION ALL
    SELECT k.key_id, r.rule
    FROM by_code AS k
    INNER JOIN rules AS r ON r.booking_code = k.booking_code
    WHERE r.worker_id IS NULL
    UNION ALL
    SELECT k.key_id, r.rule
    FROM by_code AS k
    INNER JOIN staged_note_matched AS n ON n.note = k.by_note
    INNER JOIN rules AS r
        ON r.note_contains IS NOT DISTINCT FROM n.note_contains
        AND r.note_matches IS NOT DISTINCT FROM n.note_matches
    WHERE r.worker_id IS NULL AND r.booking_code IS NULL
    UNION ALL
    SELECT k.key_id, r.rule
    FROM by_code AS k
    CROSS JOIN rules AS r
    WHERE r.worker_id IS NULL AND r.booking_code IS NULL AND NOT r.has_text
),
matched AS (
    SELECT l.key_id, r.rule, r.result_number
    FROM looked_for AS l
    INNER JOIN by_code AS k ON k.key_id = l.key_id
    INNER JOIN rules AS r ON r.rule = l.rule
    LEFT JOIN staged_note_matched AS n
        ON n.note = k.by_note
        AND n.note_contains IS NOT DISTINCT FROM r.note_contains
        AND n.note_matches IS NOT DISTINCT FROM r.note_matches
    WHERE (NOT r.has_text OR n.note IS NOT NULL)
        AND (r.booking_code IS NULL OR r.booking_code = k.booking_code)
        AND (r.trade IS NULL OR r.trade = k.by_trade)
        AND (r.job IS NULL OR r.job = k.job_meant)
        AND (r.day_from IS NULL OR r.day_from <= k.by_day)
        AND (r.day_to IS NULL OR r.day_to >= k.by_day)
    QUALIFY r.priority = min(r.priority) OVER (PARTITION BY l.key_id)
),

chosen AS (
    SELECT
        m.key_id,
        min(m.result_number) = max(m.result_number) AS agree,
        CASE WHEN agree THEN min(m.rule) END AS rule
    FROM matched AS m
    GROUP BY m.key_id
)

SELECT
    k.job_given,
    k.booking_code,
    k.by_worker,
    k.by_day,
    k.by_note,
    k.by_trade,
    coalesce(r.position, 1) AS position,
    coalesce(s.places, 1) AS places,
    CASE
        WHEN NOT h.agree THEN k.job_meant
        WHEN r.booked_to IS NULL THEN k.job
        WHEN r.booked_to IN ('OVERHEAD', 'ABSENCE') THEN NULL
        WHEN r.booked_to IN ('NON_PRODUCTIVE', 'UNTAGGED') THEN k.job_meant
        ELSE coalesce(k.job_meant, o.job)
    END AS job,
    CASE
        WHEN NOT h.agree THEN 'untagged'
        WHEN r.booked_to IS NULL THEN k.booked_to
        WHEN r.booked_to = 'NON_PRODUCTIVE' AND k.job_meant IS NULL THEN 'untagged'
        WHEN r.booked_to IN ('OVERHEAD', 'ABSENCE', 'NON_PRODUCTIVE', 'UNTAGGED') THEN word_of(r.booked_to)
        ELSE coalesce(c.booked_to, 'untagged')
    END AS booked_to,
    CASE
        WHEN NOT h.agree THEN NULL
        WHEN r.booked_to IS NULL THEN coalesce(r.cause, k.cause)
        ELSE coalesce(r.cause, c.cause)
    END AS cause,
    r.rework,
    coalesce((r.share::DECIMAL(38,9) * 1000000000)::BIGINT, 1000000000) AS share_units,
    CASE
        WHEN NOT h.agree THEN 'rules_disagree'
        WHEN r.rule IS NULL OR r.booked_to IS NULL AND k.reason = 'unknown_code' THEN k.reason
        ELSE 'rule'
    END AS reason,
    h.rule,
    k.job_meant,
    coalesce(r.share_by = 'crew_hours', false) AS is_shared
FROM by_code AS k
LEFT JOIN chosen AS h ON h.key_id = k.key_id
LEFT JOIN rules AS s ON s.rule = h.rule
LEFT JOIN current_rule($upto) AS r ON r.rule = h.rule
LEFT JOIN one_job AS o ON o.code = r.booked_to
LEFT JOIN staged_code AS c ON c.job = coalesce(k.job_meant, o.job) AND c.code = r.booked_to
ORDER BY k.key_id, position
