-- line_taken_out: lines whose entry was reversed with its whole file or batch, or that ended so while held.
CREATE MACRO line_taken_out(upto) AS TABLE
SELECT e.line_batch, e.line_row, e.batch
FROM stored_entry(upto) AS e
SEMI JOIN (SELECT * FROM known_reversal(upto) WHERE scope IN ('file', 'batch')) AS t
    ON t.entry_batch = e.batch AND t.entry_row = e.row
UNION ALL
SELECT line_batch, line_row, batch
FROM known_line_outcome(upto)
WHERE reason IN ('file_reversed', 'batch_reversed')
