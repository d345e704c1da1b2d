-- reissue_lines_held: the held lines of a re-issue that are its own file's.
-- In:  $id VARCHAR, of the re-issue; $upto BIGINT, the last batch that counts
-- Out: line_id VARCHAR, as batch.row
SELECT o.line_batch || '.' || o.line_row AS line_id
FROM reissue($upto) AS i
INNER JOIN known_sheet_line($upto) AS l
    ON l.batch = i.line_batch AND l.row = i.line_row AND l.file_batch = i.file_batch AND l.file_row = i.file_row
INNER JOIN line_standing($upto) AS o ON o.line_batch = l.batch AND o.line_row = l.row
-- What a confirmed re-issue has too is that one's.
ANTI JOIN (SELECT line_batch, line_row FROM reissue($upto) WHERE ended = 'confirmed') AS c
    ON c.line_batch = l.batch AND c.line_row = l.row
WHERE i.reissue = $id AND o.outcome = 'held'
ORDER BY o.line_batch, o.line_row
