-- reissues_across: the open re-issues of other files that have lines of the loads chosen.
-- In:  $upto BIGINT, the last batch that counts
-- Out: reissue VARCHAR; file VARCHAR; sheet VARCHAR
WITH across AS (
    SELECT DISTINCT o.reissue, o.batch, o.reissue_row, o.file_batch, o.file_row, o.sheet
    FROM open_reissued_line($upto) AS o
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = o.line_batch AND l.row = o.line_row
    SEMI JOIN staged_load_chosen AS c ON c.file_batch = l.file_batch AND c.file_row = l.file_row
    ANTI JOIN staged_load_chosen AS s ON s.file_batch = o.file_batch AND s.file_row = o.file_row
)

SELECT a.reissue, f.name AS file, a.sheet
FROM across AS a
INNER JOIN known_file($upto) AS f ON f.batch = a.file_batch AND f.row = a.file_row
ORDER BY a.batch, a.reissue_row
