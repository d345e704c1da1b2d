-- reissue: the lines of re-issues; a re-issue is a sheet in a file as a batch found it, named by its first line.
CREATE MACRO reissue(upto) AS TABLE
SELECT i.*, i.batch || '.' || i.reissue_row AS reissue, n.ended
FROM (
    SELECT
        *,
        min(row) OVER (PARTITION BY batch, file_batch, file_row, sheet_alike(sheet)) AS reissue_row
    FROM known_reissued_line(upto)
) AS i
LEFT JOIN known_reissue_end(upto) AS n
    ON n.reissue_batch = i.batch AND n.reissue_row = i.reissue_row
