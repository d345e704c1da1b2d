-- file_seen: whether a file of sheets with the same bytes was loaded before by the same layout, and not reversed since.
-- In:  $sha256 VARCHAR; $name VARCHAR, null where it decides nothing; $layout VARCHAR; $upto BIGINT, the last batch that counts
-- Out: seen BOOLEAN
WITH same AS (
    SELECT batch, row, name, layout
    FROM known_file($upto)
    WHERE sha256 = $sha256 AND kind = 'sheets'
),

-- When lines of these bytes were last reversed with their file or batch: only a load since counts.
taken_out AS (
    SELECT max(t.batch) AS batch
    FROM same AS f
    INNER JOIN known_sheet_line($upto) AS l ON l.file_batch = f.batch AND l.file_row = f.row
    INNER JOIN line_taken_out($upto) AS t ON t.line_batch = l.batch AND t.line_row = l.row
)

SELECT count(*) > 0 AS seen
FROM same
WHERE coalesce(name = $name::VARCHAR, true)
    AND layout IS NOT DISTINCT FROM $layout
    AND batch > coalesce((SELECT batch FROM taken_out), 0)
ORDER BY seen
