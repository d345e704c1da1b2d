-- lines_understood_singly: the texts of staged sheet lines, trimmed, folded and understood line by line, sooner where they are few.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT, in the file; line BIGINT; is_total BOOLEAN; sum_key VARCHAR, what a total is of; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day_written DATE; hours VARCHAR; hours_ms BIGINT, milliseconds; start VARCHAR; start_min BIGINT; finish VARCHAR; finish_min BIGINT; break_written VARCHAR; break_min BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR
WITH trimmed AS (
    SELECT
        line_batch,
        line_row,
        place,
        line,
        is_total,
        sum_key,
        bare(sheet) AS sheet,
        code_of(bare(worker_id)) AS worker_id,
        bare(date) AS date_text,
        bare(hours) AS hours,
        bare(start) AS start,
        bare(finish) AS finish,
        bare(break_minutes) AS break_written,
        code_of(bare(booking_code)) AS booking_code,
        code_of(coalesce(bare(job), bare(default_job))) AS job_given,
        bare(note) AS note,
        bare(pay_class) AS pay_class,
        word_of(bare(trade)) AS trade,
        word_of(bare(rework)) AS rework,
        bare(approved_by) AS approved_by,
        date_wrong,
        hours_wrong
    FROM staged_raw
)

SELECT
    t.line_batch,
    t.line_row,
    t.place,
    t.line,
    t.is_total,
    t.sum_key,
    t.sheet,
    t.worker_id,
    c.worker_id IS NOT NULL AS worker_known,
    t.date_text,
    day_of(t.date_text) AS day_written,
    t.hours,
    duration_ms(t.hours) AS hours_ms,
    t.start,
    nullif(minute_of_day(t.start), 1440) AS start_min,
    t.finish,
    minute_of_day(t.finish) AS finish_min,
    t.break_written,
    CASE WHEN t.break_written IS NULL THEN 0 ELSE minutes_of(t.break_written) END AS break_min,
    t.booking_code,
    t.job_given,
    t.note,
    t.pay_class,
    t.trade,
    t.rework,
    t.approved_by,
    t.date_wrong,
    t.hours_wrong
FROM trimmed AS t
LEFT JOIN staged_crew_known AS c ON c.worker_id = t.worker_id
ORDER BY t.place
