-- lines_had: the lines of the book that those of a file may be: entries of their workers and days, and lines read to compare with.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; standing VARCHAR, stands or reversed of an entry; held, refused, matched or booked of a line as read; held_for VARCHAR; is_written BOOLEAN, so it was written; is_now BOOLEAN, so it reads now; sheet VARCHAR, folded; week DATE, of a line without a sheet; worker_id VARCHAR; date_text VARCHAR; duration VARCHAR; start_time VARCHAR; finish_time VARCHAR; break_text VARCHAR; booking_code VARCHAR; job VARCHAR; is_job_named BOOLEAN; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; sheet_name VARCHAR, as written; is_note_erased BOOLEAN
WITH worker_days AS (
    SELECT DISTINCT worker_id, day
    FROM staged_parsed
    WHERE worker_id IS NOT NULL AND day IS NOT NULL
),

erased AS (
    SELECT l.batch, l.row
    FROM known_line($upto) AS l
    SEMI JOIN (SELECT * FROM known_erasure($upto) WHERE table_name = 'note') AS x
        ON x.fact_batch = l.batch AND x.fact_row = l.note
    UNION
    SELECT fact_batch AS batch, fact_row AS row
    FROM known_erasure($upto)
    WHERE table_name = 'entry'
),

booked AS (
    SELECT e.*, f.batch IS NULL AS stands, c.line_batch IS NULL AS is_as_written
    FROM known_entry($upto) AS e
    SEMI JOIN worker_days AS d ON d.worker_id = e.worker_id AND d.day = e.day
    LEFT JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    LEFT JOIN staged_line_corrected AS c ON c.line_batch = e.line_batch AND c.line_row = e.line_row
    ANTI JOIN staged_entry_replaced AS r ON r.batch = e.batch AND r.row = e.row
    WHERE e.reverses_batch IS NULL
),

read AS (
    SELECT
        * EXCLUDE (stands, is_as_written),
        CASE WHEN stands THEN 'stands' ELSE 'reversed' END AS standing,
        is_as_written AS is_written,
        true AS is_now
    FROM booked
    UNION ALL BY NAME
    FROM staged_entry_before
),

entries AS (
    SELECT
        b.line_batch,
        b.line_row,
        b.standing,
        NULL::VARCHAR AS held_for,
        b.is_written,
        b.is_now,
        sheet_alike(b.sheet) AS sheet,
        CASE WHEN b.sheet IS NULL THEN week_begun(b.day, w.first) END AS week,
        b.worker_id,
        b.day::VARCHAR AS date_text,
        b.ms::VARCHAR AS duration,
        b.start_time,
        b.finish_time,
        coalesce(b.break_minutes, 0)::VARCHAR AS break_text,
        b.booking_code,
        CASE WHEN NOT coalesce(c.is_of_no_job, false) THEN coalesce(b.job_given, c.job) END AS job,
        b.job_given IS NOT NULL AS is_job_named,
        nfc_normalize(b.note) AS note,
        b.pay_class,
        b.trade,
        b.rework,
        b.sheet AS sheet_name,
        x.batch IS NOT NULL AS is_note_erased
    FROM read AS b
    LEFT JOIN erased AS x ON x.batch = b.batch AND x.row = b.row
    CROSS JOIN staged_week_begin AS w
    LEFT JOIN staged_job_by_code AS c ON c.code = b.booking_code
),

standing AS (
    SELECT *
    FROM entries
    WHERE standing = 'stands'
),

ended AS (
    SELECT *
    FROM staged_read_as_written
    WHERE standing = 'matched'
    UNION ALL
    SELECT *
    FROM staged_read_as_corrected
    WHERE standing = 'matched'
),

-- Lines that ended as one that is booked, and read like one that stands: as written or corrected.
like_booked AS (
    SELECT r.line_batch, r.line_row, r.is_written
    FROM ended AS r
    SEMI JOIN standing AS e ON line_alike(e) = line_alike(r)
),

-- Such a line counts while that one stands: as it was corrected, else on its sheet and day. Where it
-- reads like that one as it was written, that one alone counts.
matched AS (
    SELECT line_batch, line_row
    FROM like_booked
    WHERE NOT is_written
    UNION
    SELECT r.line_batch, r.line_row
    FROM ended AS r
    SEMI JOIN standing AS e ON e.sheet = r.sheet AND e.worker_id = r.worker_id AND e.date_text = r.date_text
    ANTI JOIN staged_line_corrected AS c ON c.line_batch = r.line_batch AND c.line_row = r.line_row
    EXCEPT
    SELECT line_batch, line_row
    FROM like_booked
    WHERE is_written
),

had AS (
    SELECT *
    FROM entries
    UNION ALL
    SELECT w.*, false AS is_note_erased
    FROM staged_read_as_written AS w
    LEFT JOIN matched AS m ON m.line_batch = w.line_batch AND m.line_row = w.line_row
    WHERE w.standing <> 'matched' OR m.line_batch IS NOT NULL
    UNION ALL
    SELECT *, false AS is_note_erased
    FROM staged_read_as_corrected
    WHERE standing <> 'matched'
)

SELECT h.*
FROM had AS h
ANTI JOIN line_taken_out($upto) AS o ON o.line_batch = h.line_batch AND o.line_row = h.line_row
ORDER BY h.line_batch, h.line_row
