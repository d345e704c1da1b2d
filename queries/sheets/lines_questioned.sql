-- lines_questioned: the lines of a file that may be lines of the book, each with the question and the line it may be.
-- In:  $upto BIGINT, the last batch that counts
-- Out: place BIGINT, in the file; reason VARCHAR, job_differs, times_differ or same_as_sheet; line_batch BIGINT; line_row BIGINT; message VARCHAR
WITH file_lines AS (
    SELECT
        a.place,
        a.job,
        a.is_job_named,
        a.start_time IS NOT NULL OR a.finish_time IS NOT NULL OR a.break_text IS DISTINCT FROM '0' AS gives_times,
        {'worker_id': a.worker_id, 'date_text': a.date_text, 'duration': a.duration, 'booking_code': a.booking_code, 'note': a.note, 'pay_class': a.pay_class, 'trade': a.trade, 'rework': a.rework} AS work,
        {'start': a.start_time, 'finish': a.finish_time, 'break': a.break_text} AS times,
        {'sheet': a.sheet, 'worker_id': CASE WHEN a.sheet IS NULL THEN a.worker_id END, 'week': a.week} AS sheet,
        s.place IS NOT NULL AS is_same,
        coalesce(s.standing IN ('held', 'refused'), false) AS is_held_already
    FROM staged_alike AS a
    LEFT JOIN staged_same AS s ON s.place = a.place
),

file_lines_left AS (
    SELECT *
    FROM file_lines
    WHERE NOT is_same
),

had AS (
    SELECT
        h.line_batch,
        h.line_row,
        h.standing,
        h.is_now,
        h.sheet_name,
        h.job,
        h.is_job_named,
        h.start_time IS NOT NULL OR h.finish_time IS NOT NULL OR h.break_text IS DISTINCT FROM '0' AS gives_times,
        {'worker_id': h.worker_id, 'date_text': h.date_text, 'duration': h.duration, 'booking_code': h.booking_code, 'note': h.note, 'pay_class': h.pay_class, 'trade': h.trade, 'rework': h.rework} AS work,
        {'start': h.start_time, 'finish': h.finish_time, 'break': h.break_text} AS times,
        {'sheet': h.sheet, 'worker_id': CASE WHEN h.sheet IS NULL THEN h.worker_id END, 'week': h.week} AS sheet
    FROM staged_had AS h
    ANTI JOIN staged_same AS s ON s.line_batch = h.line_batch AND s.line_row = h.line_row
),

had_left AS (
    SELECT * EXCLUDE (is_now)
    FROM had
    WHERE is_now
),

-- Alike but for the job, which one of the two does not name.
file_lines_by_job AS (
    SELECT *, row_number() OVER (PARTITION BY work, times, sheet, is_job_named ORDER BY place) AS occurrence
    FROM file_lines_left
),

had_by_job AS (
    SELECT *, row_number() OVER (PARTITION BY work, times, sheet, is_job_named ORDER BY line_batch, line_row) AS occurrence
    FROM had_left
),

job_differs AS (
    SELECT g.place, h.line_batch, h.line_row, h.job AS job_there
    FROM file_lines_by_job AS g
    INNER JOIN had_by_job AS h
        ON h.work = g.work
        AND h.times = g.times
        AND h.sheet = g.sheet
        AND h.occurrence = g.occurrence
        AND h.is_job_named <> g.is_job_named
),

-- Of the rest: alike but for the times of day, which one of the two does not give.
file_lines_by_times AS (
    SELECT g.*, row_number() OVER (PARTITION BY g.work, g.job, g.sheet, g.gives_times ORDER BY g.place) AS occurrence
    FROM file_lines_left AS g
    ANTI JOIN job_differs AS j ON j.place = g.place
),

had_by_times AS (
    SELECT h.*, row_number() OVER (PARTITION BY h.work, h.job, h.sheet, h.gives_times ORDER BY h.line_batch, h.line_row) AS occurrence
    FROM had_left AS h
    ANTI JOIN job_differs AS j ON j.line_batch = h.line_batch AND j.line_row = h.line_row
),

times_differ AS (
    SELECT g.place, h.line_batch, h.line_row
    FROM file_lines_by_times AS g
    INNER JOIN had_by_times AS h
        ON h.work = g.work
        AND h.job IS NOT DISTINCT FROM g.job
        AND h.sheet = g.sheet
        AND h.occurrence = g.occurrence
        AND h.gives_times <> g.gives_times
),

-- Of the rest: whole sheets whose lines all stand on other sheets.
file_lines_by_sheet AS (
    SELECT
        g.work,
        g.times,
        g.job,
        g.sheet,
        list(g.place ORDER BY g.place) AS places,
        count(*) AS lines
    FROM file_lines_by_times AS g
    ANTI JOIN times_differ AS t ON t.place = g.place
    GROUP BY g.work, g.times, g.job, g.sheet
),

-- A corrected line reads in two ways, as it was written too, while it is held or its entry stands.
standing AS (
    SELECT e.line_batch, e.line_row
    FROM entry_time($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
),

had_as_written AS (
    SELECT *
    FROM had
    WHERE standing = 'held' AND NOT is_now
    UNION ALL
    SELECT h.*
    FROM had AS h
    SEMI JOIN standing AS s ON s.line_batch = h.line_batch AND s.line_row = h.line_row
    WHERE h.standing = 'booked' AND NOT h.is_now
),

had_read AS (
    SELECT line_batch, line_row, work, times, job, sheet, sheet_name
    FROM had_by_times
    WHERE standing IN ('stands', 'held')
    UNION
    SELECT h.line_batch, h.line_row, h.work, h.times, h.job, h.sheet, h.sheet_name
    FROM had_as_written AS h
    ANTI JOIN job_differs AS j ON j.line_batch = h.line_batch AND j.line_row = h.line_row
),

had_elsewhere AS (
    SELECT g.sheet, g.places, g.lines, h.line_batch, h.line_row, h.sheet_name
    FROM file_lines_by_sheet AS g
    INNER JOIN had_read AS h
        ON h.work = g.work
        AND h.times = g.times
        AND h.job IS NOT DISTINCT FROM g.job
        AND h.sheet <> g.sheet
    ANTI JOIN times_differ AS t ON t.line_batch = h.line_batch AND t.line_row = h.line_row
),

elsewhere AS (
    SELECT
        sheet,
        places,
        lines,
        min((line_batch, line_row)) AS first_line,
        arg_min(coalesce(' on sheet ' || sheet_name, ', without a sheet name'), (line_batch, line_row)) AS sheet_there
    FROM had_elsewhere
    GROUP BY sheet, places, lines
    HAVING count(DISTINCT (line_batch, line_row)) >= lines
),

covered AS (
    SELECT sheet, sum(lines) AS lines
    FROM elsewhere
    GROUP BY sheet
),

-- A line that reads in two ways is still one line.
available AS (
    SELECT sheet, count(DISTINCT (line_batch, line_row)) AS lines
    FROM had_elsewhere
    GROUP BY sheet
),

sheets AS (
    SELECT sheet, count(*) FILTER (WHERE NOT is_held_already) AS lines
    FROM file_lines
    GROUP BY sheet
),

-- Lines of worker-days that the book does not have stand nowhere.
rest_of_file AS (
    SELECT
        {'sheet': sheet_alike(p.sheet), 'worker_id': CASE WHEN p.sheet IS NULL THEN p.worker_id END, 'week': CASE WHEN p.sheet IS NULL THEN week_begun(p.day, w.first) END} AS sheet
    FROM staged_parsed AS p
    CROSS JOIN staged_week_begin AS w
    ANTI JOIN staged_alike AS a ON a.place = p.place
),

whole AS (
    SELECT c.sheet
    FROM covered AS c
    INNER JOIN sheets AS s ON s.sheet = c.sheet AND s.lines = c.lines
    INNER JOIN available AS a ON a.sheet = c.sheet AND a.lines >= c.lines
    ANTI JOIN rest_of_file AS r ON r.sheet = c.sheet
),

same_as_sheet AS (
    SELECT unnest(e.places) AS place, e.first_line[1] AS line_batch, e.first_line[2] AS line_row, e.sheet_there
    FROM elsewhere AS e
    INNER JOIN whole AS w ON w.sheet = e.sheet
),

questioned AS (
    SELECT 'job_differs' AS reason, place, line_batch, line_row, job_there, NULL AS sheet_there
    FROM job_differs
    UNION ALL
    SELECT 'times_differ' AS reason, place, line_batch, line_row, NULL AS job_there, NULL AS sheet_there
    FROM times_differ
    UNION ALL
    SELECT 'same_as_sheet' AS reason, place, line_batch, line_row, NULL AS job_there, sheet_there
    FROM same_as_sheet
),

explained AS (
    SELECT
        q.place,
        q.reason,
        q.line_batch,
        q.line_row,
        q.sheet_there,
        f.name || ':' || l.line AS there,
        coalesce(q.job_there, 'none') AS job_there,
        coalesce(g.job, 'none') AS job_here,
        g.gives_times
    FROM questioned AS q
    INNER JOIN file_lines AS g ON g.place = q.place
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = q.line_batch AND l.row = q.line_row
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
)

SELECT
    place,
    reason,
    line_batch,
    line_row,
    CASE reason
        WHEN 'job_differs' THEN 'same as ' || there || ' except the job: ' || job_there || ' there, ' || job_here || ' here'
        WHEN 'times_differ' THEN 'same as ' || there || ' except the times of day, which only '
            || CASE WHEN gives_times THEN 'this line' ELSE 'that one' END || ' gives'
        ELSE 'already in the book: ' || there || sheet_there || ', like all lines of its sheet'
    END AS message
FROM explained
ORDER BY place
