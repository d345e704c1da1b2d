-- corrections_keyed: the key of each line as it reads now, and the booked line that has it already.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; line_key BLOB; match_id VARCHAR, as batch.row; match_told VARCHAR, its file and line
WITH based AS (
    SELECT
        r.line_batch,
        r.line_row,
        r.worker_id,
        r.day,
        l.file_batch,
        l.file_row,
        concat(
            sealed(r.job_given),
            sealed(r.sheet),
            sealed(r.worker_id),
            sealed(r.day::VARCHAR),
            sealed(CASE
                WHEN r.hours_given THEN r.ms::VARCHAR
                ELSE concat_ws('..', r.start_time, r.finish_time, r.break_minutes)
            END),
            sealed(r.booking_code),
            sealed(r.note),
            sealed(r.pay_class),
            sealed(r.trade),
            sealed(r.rework)
        ) AS line_base
    FROM staged_parsed AS r
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = r.line_batch AND l.row = r.line_row
),

ranked AS (
    SELECT *, row_number() OVER (PARTITION BY file_batch, file_row, line_base ORDER BY line_batch, line_row) AS place
    FROM based
),

groups AS (
    SELECT file_batch, file_row, line_base, any_value(worker_id) AS worker_id, any_value(day) AS day, count(*) AS lines
    FROM based
    GROUP BY file_batch, file_row, line_base
),

-- As many equal lines as a worker has entries on a day can be in the book.
bounded AS (
    SELECT g.file_batch, g.file_row, g.line_base, any_value(g.lines) + count(e.batch) AS most
    FROM groups AS g
    LEFT JOIN known_entry($upto) AS e ON e.worker_id = g.worker_id AND e.day = g.day
    GROUP BY g.file_batch, g.file_row, g.line_base
),

numbered AS (
    SELECT file_batch, file_row, line_base, unnest(range(1, most + 1)) AS number
    FROM bounded
),

tried AS (
    SELECT *, unhex(md5(line_base || number)) AS line_key
    FROM numbered
),

keys AS (
    SELECT line_key, batch, row
    FROM line_in_book($upto)
    UNION ALL
    SELECT line_key, line_batch AS batch, line_row AS row
    FROM known_corrected_line($upto)
    ANTI JOIN line_taken_out($upto) USING (line_batch, line_row)
),

own_keys AS (
    SELECT b.line_batch, b.line_row, t.line_key
    FROM based AS b
    INNER JOIN tried AS t USING (file_batch, file_row, line_base)
),

-- A line that reads again as it once did is not in its own way.
known AS (
    SELECT
        k.line_key,
        k.batch,
        k.row,
        l.file_batch,
        l.file_row,
        f.name || ':' || l.line AS told,
        o.outcome IN ('held', 'refused') AS waits
    FROM keys AS k
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = k.batch AND l.row = k.row
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
    LEFT JOIN line_standing($upto) AS o ON o.line_batch = l.batch AND o.line_row = l.row
    ANTI JOIN own_keys AS w ON w.line_batch = k.batch AND w.line_row = k.row AND w.line_key = k.line_key
    WHERE k.line_key IN (SELECT line_key FROM tried)
),

-- A number is free when no line of the same file has it, and no line that waits or was refused.
free AS (
    SELECT
        t.*,
        row_number() OVER (PARTITION BY t.file_batch, t.file_row, t.line_base ORDER BY t.number) AS place
    FROM tried AS t
    ANTI JOIN known AS k
        ON k.line_key = t.line_key
        AND (k.waits OR (k.file_batch = t.file_batch AND k.file_row = t.file_row))
),

-- A line whose entry was reversed stands for no hours: nothing is matched with it.
standing AS (
    SELECT e.line_batch, e.line_row
    FROM known_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
),

matches AS (
    SELECT k.line_key, min(k.batch || '.' || k.row) AS match_id, min(k.told) AS match_told
    FROM known AS k
    SEMI JOIN standing AS s ON s.line_batch = k.batch AND s.line_row = k.row
    WHERE k.waits IS DISTINCT FROM true
    GROUP BY k.line_key
)

SELECT r.line_batch, r.line_row, f.line_key, m.match_id, m.match_told
FROM ranked AS r
INNER JOIN free AS f
    ON f.file_batch = r.file_batch
    AND f.file_row = r.file_row
    AND f.line_base = r.line_base
    AND f.place = r.place
LEFT JOIN matches AS m ON m.line_key = f.line_key
ORDER BY r.line_batch, r.line_row
