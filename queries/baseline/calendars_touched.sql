-- calendars_touched: the withdrawals of jobs and settings, and the calendars of baseline changes: where there are any, calendars are written anew.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT batch, row
FROM known_withdrawal($upto)
WHERE table_name IN ('job', 'setting')
UNION ALL
SELECT batch, row
FROM known_replanned_calendar($upto)
ORDER BY batch, row
