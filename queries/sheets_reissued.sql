-- sheets_reissued: the sheets of a file that it gives again otherwise, and those it puts right.
-- In:  none
-- Out: sheet VARCHAR; is_mended BOOLEAN; worker_days BIGINT
SELECT sheet, is_mended, count(*) AS worker_days
FROM staged_sheet_differing
GROUP BY sheet, is_mended
ORDER BY sheet, is_mended
