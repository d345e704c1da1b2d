-- places_by_code: for each combination of what decides, where hours are booked by their code, as if there were no rules.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job_given VARCHAR; booking_code VARCHAR; by_worker VARCHAR; by_day DATE; by_note VARCHAR; by_trade VARCHAR; position BIGINT; places BIGINT, how many positions there are; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR, null; share_units BIGINT, 1/1000000000; reason VARCHAR; rule VARCHAR, null; job_meant VARCHAR, also of a code of no job; is_shared BOOLEAN, false
WITH keys AS (
    SELECT DISTINCT job_given, booking_code, by_worker, by_day, by_note, by_trade
    FROM staged_entry_to_place
),

one_job AS (
    SELECT code, any_value(job) AS job
    FROM staged_code
    WHERE job IS NOT NULL
    GROUP BY code
    HAVING count(DISTINCT job) = 1
),

jobs AS (
    SELECT DISTINCT job
    FROM current_job($upto)
),

in_job AS (
    SELECT
        k.*,
        CASE WHEN k.job_given IS NULL THEN o.job ELSE j.job END AS job
    FROM keys AS k
    LEFT JOIN jobs AS j ON j.job = k.job_given
    LEFT JOIN one_job AS o ON o.code = k.booking_code
)

SELECT
    k.job_given,
    k.booking_code,
    k.by_worker,
    k.by_day,
    k.by_note,
    k.by_trade,
    1::BIGINT AS position,
    1::BIGINT AS places,
    CASE WHEN g.code IS NULL THEN k.job END AS job,
    coalesce(c.booked_to, g.booked_to, 'untagged') AS booked_to,
    coalesce(c.cause, g.cause) AS cause,
    NULL::VARCHAR AS rework,
    1000000000::BIGINT AS share_units,
    CASE WHEN coalesce(c.code, g.code) IS NOT NULL THEN 'code' ELSE 'unknown_code' END AS reason,
    NULL::VARCHAR AS rule,
    k.job AS job_meant,
    false AS is_shared
FROM in_job AS k
LEFT JOIN staged_code AS c ON c.job = k.job AND c.code = k.booking_code
LEFT JOIN staged_code AS g ON g.job IS NULL AND g.code = k.booking_code AND c.code IS NULL
ORDER BY ALL
