-- sheets_reissued: the sheets of a file that it gives again otherwise, and those it puts right.
-- In:  none
-- Out: sheet VARCHAR; is_mended BOOLEAN; worker_days BIGINT
WITH named AS (
    SELECT sheet, min(sheet_name) AS sheet_name
    FROM staged_sheet_of_file
    GROUP BY sheet
)

SELECT coalesce(n.sheet_name, d.sheet) AS sheet, d.is_mended, count(*) AS worker_days
FROM staged_sheet_differing AS d
LEFT JOIN named AS n ON n.sheet = d.sheet
GROUP BY coalesce(n.sheet_name, d.sheet), d.is_mended
ORDER BY sheet, d.is_mended
