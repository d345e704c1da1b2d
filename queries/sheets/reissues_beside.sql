-- reissues_beside: the other open re-issues of the sheet that a re-issue is of.
-- In:  $id VARCHAR, as batch.row; $upto BIGINT, the last batch that counts
-- Out: reissue VARCHAR; file VARCHAR
WITH named AS (
    SELECT DISTINCT sheet_alike(sheet) AS sheet
    FROM reissue($upto)
    WHERE reissue = $id
),

beside AS (
    SELECT DISTINCT o.reissue, o.batch, o.reissue_row, o.file_batch, o.file_row
    FROM open_reissued_line($upto) AS o
    INNER JOIN named AS n ON n.sheet = sheet_alike(o.sheet)
    WHERE o.reissue <> $id
)

SELECT b.reissue, f.name AS file
FROM beside AS b
INNER JOIN known_file($upto) AS f ON f.batch = b.file_batch AND f.row = b.file_row
ORDER BY b.batch, b.reissue_row
