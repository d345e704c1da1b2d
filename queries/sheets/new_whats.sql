-- new_whats: the different ways in which the new lines of a file are held, or say what the hours were for.
-- In:  none
-- Out: held VARCHAR; booking_code VARCHAR; job_given VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; by_worker VARCHAR; by_day DATE; by_note VARCHAR; by_trade VARCHAR
SELECT DISTINCT
    NULL::VARCHAR AS held,
    j.booking_code,
    j.job_given,
    j.pay_class,
    j.trade,
    j.rework,
    j.approved_by,
    k.by_worker,
    k.by_day,
    k.by_note,
    k.by_trade
FROM staged_judged AS j
LEFT JOIN staged_line_key AS k ON k.place = j.place
WHERE j.outcome = 'booked'
UNION ALL
SELECT DISTINCT
    reason AS held,
    NULL AS booking_code,
    NULL AS job_given,
    NULL AS pay_class,
    NULL AS trade,
    NULL AS rework,
    NULL AS approved_by,
    NULL AS by_worker,
    NULL AS by_day,
    NULL AS by_note,
    NULL AS by_trade
FROM staged_judged
WHERE outcome = 'held'
ORDER BY ALL
