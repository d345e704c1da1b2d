-- lines_understood_singly: the texts of staged sheet lines, trimmed, folded and understood line by line, sooner where they are few.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT, in the file; line BIGINT; is_total BOOLEAN; sum_key VARCHAR, what a total is of; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day_written DATE; hours VARCHAR; hours_ms BIGINT, milliseconds; start VARCHAR; start_min BIGINT; finish VARCHAR; finish_min BIGINT; break_written VARCHAR; break_min BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR
-- All texts are trimmed by one expression, all codes and times understood by one: planning one for each takes longest.
WITH trimmed AS (
    SELECT
        line_batch,
        line_row,
        place,
        line,
        is_total,
        sum_key,
        date_wrong,
        hours_wrong,
        list_transform(
            [
                sheet,
                date,
                hours,
                start,
                finish,
                break_minutes,
                note,
                pay_class,
                approved_by,
                worker_id,
                booking_code,
                job,
                default_job,
                trade,
                rework
            ],
            lambda text: bare(text)
        ) AS texts
    FROM staged_raw
),

folded AS (
    SELECT
        *,
        list_transform([texts[10], texts[11], coalesce(texts[12], texts[13])], lambda code: code_of(code)) AS codes,
        list_transform([texts[14], texts[15]], lambda word: word_of(word)) AS words,
        list_transform([texts[4], texts[5]], lambda time: minute_of_day(time)) AS minutes
    FROM trimmed
)

SELECT
    t.line_batch,
    t.line_row,
    t.place,
    t.line,
    t.is_total,
    t.sum_key,
    t.texts[1] AS sheet,
    t.codes[1] AS worker_id,
    c.worker_id IS NOT NULL AS worker_known,
    t.texts[2] AS date_text,
    day_of(t.texts[2]) AS day_written,
    t.texts[3] AS hours,
    duration_ms(t.texts[3]) AS hours_ms,
    t.texts[4] AS start,
    nullif(t.minutes[1], 1440) AS start_min,
    t.texts[5] AS finish,
    t.minutes[2] AS finish_min,
    t.texts[6] AS break_written,
    CASE WHEN t.texts[6] IS NULL THEN 0 ELSE minutes_of(t.texts[6]) END AS break_min,
    t.codes[2] AS booking_code,
    t.codes[3] AS job_given,
    t.texts[7] AS note,
    t.texts[8] AS pay_class,
    t.words[1] AS trade,
    t.words[2] AS rework,
    t.texts[9] AS approved_by,
    t.date_wrong,
    t.hours_wrong
FROM folded AS t
LEFT JOIN (SELECT DISTINCT worker_id FROM staged_crew_known) AS c ON c.worker_id = t.codes[1]
ORDER BY t.place
