-- sheet_days_found: whether a file gives any sheet's worker-day otherwise than the book has it.
-- In:  none
-- Out: found BOOLEAN
SELECT count(*) > 0 AS found
FROM staged_sheet_differing
ORDER BY found
