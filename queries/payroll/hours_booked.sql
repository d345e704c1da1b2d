-- hours_booked: time booked by worker, day, trade, job or other place, and pay class, with the rest of the weeks that days are asked of.
-- In:  $classes VARCHAR[]; $kinds VARCHAR[], the kind of each pay class; $from DATE; $to DATE, inclusive, null for all; $week_start BIGINT, 0 for Monday; $job VARCHAR, null for all; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; week DATE, its first day; trade VARCHAR, worked; place VARCHAR, the job, else overhead, absence or untagged; pay_class VARCHAR; kind VARCHAR; ms DECIMAL(38,0), milliseconds; is_asked BOOLEAN, of the days and the job asked for
WITH class AS (
    SELECT unnest($classes::VARCHAR[]) AS pay_class, unnest($kinds::VARCHAR[]) AS kind
),

grouped AS (
    SELECT worker_id, day, trade, coalesce(job, booked_to) AS place, booked_to = 'absence' AS is_absence, pay_class, sum(ms) AS ms
    FROM known_posting($upto)
    WHERE day BETWEEN coalesce(week_begun($from::DATE, $week_start::BIGINT), day) AND coalesce($to::DATE, day)
    GROUP BY ALL
    HAVING sum(ms) <> 0
),

folded AS (
    SELECT DISTINCT pay_class AS given, word_of(trim(pay_class)) AS pay_class
    FROM grouped
    WHERE pay_class IS NOT NULL
)

SELECT
    g.worker_id,
    g.day,
    week_begun(g.day, $week_start::BIGINT) AS week,
    coalesce(g.trade, c.trade) AS trade,
    g.place,
    f.pay_class,
    kind_of_pay(CASE WHEN g.is_absence THEN 'absence' END, k.kind) AS kind,
    sum(g.ms)::DECIMAL(38,0) AS ms,
    g.day >= coalesce($from::DATE, g.day) AND ($job::VARCHAR IS NULL OR g.place = $job::VARCHAR) AS is_asked
FROM grouped AS g
LEFT JOIN folded AS f ON f.given = g.pay_class
LEFT JOIN class AS k ON k.pay_class = f.pay_class
LEFT JOIN staged_pay_crew AS c ON c.worker_id = g.worker_id AND c.day_from <= g.day AND c.day_before > g.day
GROUP BY ALL
ORDER BY g.worker_id, g.day, place, pay_class, trade, kind
