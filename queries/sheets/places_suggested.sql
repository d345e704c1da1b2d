-- places_suggested: the likely places of what is left to tag, the likeliest first, with what speaks for each.
-- In:  $by_day BOOLEAN, for each day, else for each week; $weights BIGINT[], points of 100 of note, code, week, beside, crew, day, trade and dates; $least BIGINT, points; $most BIGINT, places
-- Out: why VARCHAR; code VARCHAR; job VARCHAR; worker_id VARCHAR; from_day DATE; note VARCHAR; ms DECIMAL(38,0), milliseconds; entries BIGINT; last_day DATE; rank BIGINT; place_job VARCHAR; booked_to VARCHAR; cause VARCHAR; score BIGINT, of 100; note_points BIGINT, likeness of the tagged note of 100; note_entries BIGINT, with it there; note_there VARCHAR; title_points BIGINT; code_points BIGINT; code_entries BIGINT; days_there BIGINT; days_worked BIGINT; is_beside BOOLEAN; trade VARCHAR; crew_percent BIGINT; is_of_trade BOOLEAN; is_in_dates BOOLEAN; is_free BOOLEAN, no other line there that day
-- All shares are in thousandths, all points in thousandths of a point until they are rounded, half up.
WITH tagged AS (
    SELECT *, {'job': job, 'booked_to': booked_to, 'cause': cause} AS place
    FROM staged_tagged_time
),

worker_week AS (
    SELECT worker_id, week, sum(ms) AS ms, count(DISTINCT day) AS days
    FROM tagged
    GROUP BY worker_id, week
),

worker_place AS (
    SELECT worker_id, week, place, sum(ms) AS ms, count(DISTINCT day) AS days
    FROM tagged
    GROUP BY worker_id, week, place
),

by_week AS (
    SELECT s.number, p.place, (p.ms * 1000)::HUGEINT // w.ms::HUGEINT AS share, p.days, w.days AS days_worked
    FROM staged_spot AS s
    INNER JOIN worker_place AS p ON p.worker_id = s.worker_id AND p.week = s.week
    INNER JOIN worker_week AS w ON w.worker_id = s.worker_id AND w.week = s.week
),

beside_place AS (
    SELECT s.number, p.place, sum(p.ms) AS ms
    FROM staged_spot AS s
    INNER JOIN worker_place AS p ON p.worker_id = s.worker_id AND p.week IN (s.week - 7, s.week + 7)
    GROUP BY s.number, p.place
),

by_beside AS (
    SELECT number, place, (ms * 1000)::HUGEINT // (sum(ms) OVER (PARTITION BY number))::HUGEINT AS share
    FROM beside_place
),

crew_place AS (
    SELECT trade, week, place, sum(ms) AS ms
    FROM tagged
    GROUP BY trade, week, place
),

crew_share AS (
    SELECT trade, week, place, (ms * 1000)::HUGEINT // (sum(ms) OVER (PARTITION BY trade, week))::HUGEINT AS share
    FROM crew_place
),

by_crew AS (
    SELECT s.number, c.place, c.share
    FROM staged_spot AS s
    INNER JOIN crew_share AS c ON c.trade = s.trade AND c.week = s.week
),

note_place AS (
    SELECT note, place, sum(ms) AS ms, sum(entries)::BIGINT AS entries
    FROM tagged
    WHERE note IS NOT NULL
    GROUP BY note, place
),

note_share AS (
    SELECT *, (ms * 1000)::HUGEINT // (sum(ms) OVER (PARTITION BY note))::HUGEINT AS share
    FROM note_place
),

by_note AS (
    SELECT s.number, n.place, a.points * n.share // 100 AS share, a.points, n.entries, a.other
    FROM staged_spot AS s
    INNER JOIN staged_text_alike AS a ON a.kind = 'note' AND a.text = s.note
    INNER JOIN note_share AS n ON n.note = a.other
    QUALIFY row_number() OVER (PARTITION BY s.number, n.place ORDER BY a.points * n.share DESC, n.entries DESC, a.other) = 1
),

-- A title says less than a note by which work was booked: half.
by_title AS (
    SELECT s.number, {'job': a.job, 'booked_to': a.booked_to, 'cause': NULL::VARCHAR} AS place, a.points * 5 AS share, a.points
    FROM staged_spot AS s
    INNER JOIN staged_text_alike AS a ON a.kind = 'title' AND a.text = s.note
),

code_place AS (
    SELECT code, place, sum(ms) AS ms, sum(entries)::BIGINT AS entries
    FROM tagged
    WHERE is_decided AND code IS NOT NULL
    GROUP BY code, place
),

code_share AS (
    SELECT *, (ms * 1000)::HUGEINT // (sum(ms) OVER (PARTITION BY code))::HUGEINT AS share
    FROM code_place
),

by_code AS (
    SELECT s.number, c.place, c.share, c.entries
    FROM staged_spot AS s
    INNER JOIN code_share AS c ON c.code = s.code
    -- A code that is known is what is in doubt.
    WHERE s.why <> 'doubtful'
),

by_code_alike AS (
    SELECT s.number, {'job': a.job, 'booked_to': a.booked_to, 'cause': NULL::VARCHAR} AS place, a.points * 10 AS share, a.points
    FROM staged_spot AS s
    INNER JOIN staged_text_alike AS a ON a.kind = 'code' AND a.text = s.code
    WHERE s.why <> 'doubtful'
),

candidate AS (
    SELECT number, place FROM by_week
    UNION
    SELECT number, place FROM by_beside
    UNION
    SELECT number, place FROM by_crew
    UNION
    SELECT number, place FROM by_note
    UNION
    SELECT number, place FROM by_title
    UNION
    SELECT number, place FROM by_code
    UNION
    SELECT number, place FROM by_code_alike
),

that_day AS (
    SELECT DISTINCT worker_id, day, place
    FROM tagged
),

evidence AS (
    SELECT
        s.*,
        c.place,
        coalesce(w.share, 0) AS week_share,
        coalesce(b.share, 0) AS beside_share,
        coalesce(k.share, 0) AS crew_share,
        greatest(coalesce(n.share, 0), coalesce(t.share, 0)) AS note_share,
        greatest(coalesce(o.share, 0), coalesce(l.share, 0)) AS code_share,
        n.points AS note_points,
        n.entries AS note_entries,
        n.other AS note_there,
        t.points AS title_points,
        l.points AS code_points,
        o.entries AS code_entries,
        coalesce(w.days, 0) AS days_there,
        coalesce(w.days_worked, 0) AS days_worked,
        list_contains(x.trades, s.trade) AS is_of_trade,
        CASE WHEN x.booked_to IS NOT NULL
            THEN coalesce(s.day >= x.first_day, true) AND coalesce(s.day <= x.last_day, true) END AS is_in_dates,
        d.place IS NULL AS is_free
    FROM candidate AS c
    INNER JOIN staged_spot AS s ON s.number = c.number
    LEFT JOIN by_week AS w ON w.number = c.number AND w.place = c.place
    LEFT JOIN by_beside AS b ON b.number = c.number AND b.place = c.place
    LEFT JOIN by_crew AS k ON k.number = c.number AND k.place = c.place
    LEFT JOIN by_note AS n ON n.number = c.number AND n.place = c.place
    LEFT JOIN by_title AS t ON t.number = c.number AND t.place = c.place
    LEFT JOIN by_code AS o ON o.number = c.number AND o.place = c.place
    LEFT JOIN by_code_alike AS l ON l.number = c.number AND l.place = c.place
    LEFT JOIN staged_place_titled AS x ON x.job = c.place.job AND x.booked_to = c.place.booked_to
    LEFT JOIN that_day AS d ON d.worker_id = s.worker_id AND d.day = s.day AND d.place = c.place
    -- A line that names its job belongs in it, or in none.
    WHERE s.job IS NULL OR c.place.job IS NULL OR c.place.job = s.job
),

scored AS (
    SELECT
        *,
        CASE WHEN $by_day::BOOLEAN THEN day ELSE week END AS from_day,
        least(
            100000,
            $weights[1] * note_share
            + $weights[2] * code_share
            + $weights[3] * week_share
            + $weights[4] * beside_share
            + $weights[5] * crew_share
            + $weights[6] * CASE WHEN is_free THEN 1000 ELSE 0 END
            + $weights[7] * CASE is_of_trade WHEN true THEN 1000 WHEN false THEN 0 ELSE 500 END
            + $weights[8] * CASE is_in_dates WHEN true THEN 1000 WHEN false THEN 0 ELSE 500 END
        ) AS points
    FROM evidence
),

spot_group AS (
    SELECT
        why,
        code,
        job,
        worker_id,
        CASE WHEN $by_day::BOOLEAN THEN day ELSE week END AS from_day,
        note,
        sum(ms) AS ms,
        sum(entries)::BIGINT AS entries,
        max(day) AS last_day
    FROM staged_spot
    GROUP BY why, code, job, worker_id, from_day, note
),

grouped AS (
    SELECT
        why,
        code,
        job,
        worker_id,
        from_day,
        note,
        place,
        sum(points * ms::HUGEINT) AS points_ms,
        max(note_points) AS note_points,
        max(note_entries) AS note_entries,
        min(note_there) AS note_there,
        max(title_points) AS title_points,
        max(code_points) AS code_points,
        max(code_entries) AS code_entries,
        max(days_there) AS days_there,
        max(days_worked) AS days_worked,
        max(beside_share) > 0 AS is_beside,
        min(trade) AS trade,
        max(crew_share)::BIGINT // 10 AS crew_percent,
        bool_and(is_of_trade) AS is_of_trade,
        bool_and(is_in_dates) AS is_in_dates,
        bool_and(is_free) AS is_free
    FROM scored
    GROUP BY why, code, job, worker_id, from_day, note, place
)

SELECT
    s.why,
    s.code,
    s.job,
    s.worker_id,
    s.from_day,
    s.note,
    s.ms::DECIMAL(38,0) AS ms,
    s.entries,
    s.last_day,
    row_number() OVER (
        PARTITION BY s.why, s.code, s.job, s.worker_id, s.from_day, s.note
        ORDER BY g.points_ms DESC, g.place.job, g.place.booked_to, g.place.cause
    ) AS rank,
    g.place.job AS place_job,
    g.place.booked_to AS booked_to,
    g.place.cause AS cause,
    ((g.points_ms // s.ms::HUGEINT + 500) // 1000)::BIGINT AS score,
    g.note_points,
    g.note_entries,
    g.note_there,
    g.title_points,
    g.code_points,
    g.code_entries,
    g.days_there,
    g.days_worked,
    g.is_beside,
    g.trade,
    g.crew_percent,
    g.is_of_trade,
    g.is_in_dates,
    g.is_free
FROM grouped AS g
INNER JOIN spot_group AS s
    ON s.why = g.why
    AND s.code IS NOT DISTINCT FROM g.code
    AND s.job IS NOT DISTINCT FROM g.job
    AND s.worker_id = g.worker_id
    AND s.from_day = g.from_day
    AND s.note IS NOT DISTINCT FROM g.note
WHERE s.ms > 0
QUALIFY rank <= $most AND score >= $least
ORDER BY s.ms DESC, s.why, s.code, s.job, s.worker_id, s.from_day, s.note, rank
