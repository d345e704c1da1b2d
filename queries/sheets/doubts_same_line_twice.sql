-- doubts_same_line_twice: lines that stand twice on one sheet, alike in all they say.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH alike AS (
    SELECT worker_id, day, ms, handed_in
    FROM staged_doubt_entry
    WHERE ms > 0
    GROUP BY worker_id, day, ms, handed_in
    HAVING count(*) > 1
)

SELECT
    worker_id,
    day,
    list(entry ORDER BY batch, row) AS entries,
    string_agg(entry, ' ' ORDER BY batch, row) AS about,
    handed_in || ' says ' || count(*) || ' times that worker ' || worker_id || ' had ' || hours_text(ms) || ' h under '
        || coalesce('code ' || booking_code, 'no code') || ' on ' || day AS message
FROM staged_doubt_entry
SEMI JOIN alike USING (worker_id, day, ms, handed_in)
GROUP BY handed_in, worker_id, day, ms, booking_code, note, pay_class, trade, rework, start_at, finish_at
HAVING count(*) > 1
ORDER BY day, worker_id, about
