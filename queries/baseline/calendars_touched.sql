-- calendars_touched: the withdrawals of jobs and settings, after which calendars are written anew.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT batch, row
FROM known_withdrawal($upto)
WHERE table_name IN ('job', 'setting')
ORDER BY batch, row
