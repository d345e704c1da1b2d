-- doubts_possible: what the staged entries and the book have that kinds of doubts look at.
-- In:  $upto BIGINT, the last batch that counts
-- Out: clock BOOLEAN, times of a clock or a sheet; attendance BOOLEAN; no_time BOOLEAN, entries of 0 hours; rework BOOLEAN; changes BOOLEAN; progress BOOLEAN; several BOOLEAN, entries of a worker on a day; absence BOOLEAN; calendar BOOLEAN
WITH had AS (
    SELECT EXISTS (SELECT 1 FROM current_attendance($upto)) AS attendance
)

SELECT
    had.attendance OR coalesce(bool_or(e.start_at IS NOT NULL OR e.finish_at IS NOT NULL OR e.clocked_ms IS NOT NULL), false) AS clock,
    had.attendance,
    coalesce(bool_or(e.ms = 0), false) AS no_time,
    coalesce(bool_or(e.rework IS NOT NULL), false) AS rework,
    EXISTS (SELECT 1 FROM known_change_event($upto)) AS changes,
    EXISTS (SELECT 1 FROM known_progress($upto)) AS progress,
    count(e.entry) > count(DISTINCT (e.worker_id, e.day)) AS several,
    EXISTS (SELECT 1 FROM staged_doubt_place WHERE booked_to = 'absence') AS absence,
    EXISTS (SELECT 1 FROM known_job_day($upto)) AS calendar
FROM had
LEFT JOIN staged_doubt_entry AS e ON true
GROUP BY had.attendance
ORDER BY had.attendance
