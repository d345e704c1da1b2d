-- whats_to_keep: the ways in which new lines are held or booked.
-- In:  none
-- Out: number BIGINT; held VARCHAR; booking_code VARCHAR; job_given VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; booked_rework VARCHAR; reason VARCHAR; rule VARCHAR
SELECT
    number,
    held,
    booking_code,
    job_given,
    pay_class,
    trade,
    rework,
    approved_by,
    job,
    booked_to,
    cause,
    booked_rework,
    reason,
    rule
FROM staged_what
ORDER BY number
