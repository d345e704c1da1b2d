-- whats_placed: the ways in which new lines are held or booked, numbered on, each with its place; none where rules share them out.
-- In:  $upto BIGINT, the last batch that counts
-- Out: number BIGINT; held VARCHAR; booking_code VARCHAR; job_given VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; by_worker VARCHAR; by_day DATE; by_note VARCHAR; by_trade VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; booked_rework VARCHAR; reason VARCHAR; rule VARCHAR
SELECT
    (SELECT coalesce(max(number), 0) FROM stored_what($upto))
        + row_number() OVER (ORDER BY g.held, g.booking_code, g.job_given, g.pay_class, g.trade, g.rework, g.approved_by, g.by_worker, g.by_day, g.by_note, g.by_trade) AS number,
    g.held,
    g.booking_code,
    g.job_given,
    g.pay_class,
    g.trade,
    g.rework,
    g.approved_by,
    g.by_worker,
    g.by_day,
    g.by_note,
    g.by_trade,
    p.job,
    p.booked_to,
    p.cause,
    CASE WHEN p.booked_to IS NOT NULL THEN coalesce(p.rework, g.rework) END AS booked_rework,
    p.reason,
    p.rule
FROM staged_entry_to_place AS g
LEFT JOIN staged_place AS p
    ON g.held IS NULL
    AND p.places = 1
    AND NOT p.is_shared
    AND p.job_given IS NOT DISTINCT FROM g.job_given
    AND p.booking_code IS NOT DISTINCT FROM g.booking_code
    AND p.by_worker IS NOT DISTINCT FROM g.by_worker
    AND p.by_day IS NOT DISTINCT FROM g.by_day
    AND p.by_note IS NOT DISTINCT FROM g.by_note
    AND p.by_trade IS NOT DISTINCT FROM g.by_trade
ORDER BY number
