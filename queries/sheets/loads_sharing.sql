-- loads_sharing: the files loaded since the loads chosen of which lines counted as in the book already.
-- In:  $upto BIGINT, the last batch that counts
-- Out: file VARCHAR
SELECT DISTINCT f.name AS file
FROM known_file($upto) AS f
ANTI JOIN (
    SELECT g.sha256
    FROM known_file($upto) AS g
    SEMI JOIN staged_load_chosen AS c ON c.file_batch = g.batch AND c.file_row = g.row
) AS s ON s.sha256 = f.sha256
WHERE f.kind = 'sheets'
    AND f.already_booked + f.already_held > 0
    AND (f.batch, f.row) > (SELECT (file_batch, file_row) FROM staged_load_chosen ORDER BY file_batch, file_row LIMIT 1)
ORDER BY file
