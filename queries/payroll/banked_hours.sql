-- banked_hours: hours that workers have in a bank by a day: booked and not paid, less paid from it; below 0 they owe.
-- In:  $to DATE, by which periods end; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; ms BIGINT, milliseconds
WITH moved AS (
    SELECT worker_id, ms
    FROM current_payroll_note($upto)
    WHERE reason = 'banked_hours' AND worker_id IS NOT NULL AND period_end <= $to::DATE
    UNION ALL
    SELECT worker_id, ms
    FROM current_payroll_line($upto)
    WHERE pay_class = 'banked_hours' AND period_end <= $to::DATE
)

SELECT worker_id, (-sum(ms))::BIGINT AS ms
FROM moved
GROUP BY worker_id
HAVING sum(ms) <> 0
ORDER BY worker_id
