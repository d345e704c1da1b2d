-- files_kept: the files of sheets of which parts are kept, and whether all of them still are.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; name VARCHAR; encoding VARCHAR; is_whole BOOLEAN
WITH kept AS (
    SELECT p.batch, p.file_row, count(*) = count(c.sha256) AS is_whole
    FROM known_file_part($upto) AS p
    LEFT JOIN (SELECT sha256 FROM known_content($upto) WHERE data IS NOT NULL) AS c ON c.sha256 = p.sha256
    GROUP BY p.batch, p.file_row
)

SELECT f.batch, f.row, f.name, f.encoding, k.is_whole
FROM known_file($upto) AS f
INNER JOIN kept AS k ON k.batch = f.batch AND k.file_row = f.row
ORDER BY f.batch, f.row
