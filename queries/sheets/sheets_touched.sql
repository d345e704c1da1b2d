-- sheets_touched: the sheets of known parts that lines that are read are on, as they are written; without one the worker.
-- In:  none
-- Out: sheet VARCHAR; worker_id VARCHAR
WITH sheets_read AS (
    SELECT DISTINCT sheet_alike(sheet) AS sheet
    FROM staged_parsed
    WHERE sheet IS NOT NULL
)

SELECT f.sheet, NULL::VARCHAR AS worker_id
FROM (SELECT DISTINCT sheet FROM staged_line_flagged WHERE is_known AND sheet IS NOT NULL) AS f
SEMI JOIN sheets_read AS g ON g.sheet = sheet_alike(f.sheet)
UNION ALL
SELECT DISTINCT NULL AS sheet, worker_id
FROM staged_parsed
WHERE sheet IS NULL AND worker_id IS NOT NULL
ORDER BY sheet, worker_id
