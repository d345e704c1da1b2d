-- held_named: the sheet lines named, with how each stands.
-- In:  $ids VARCHAR[], as batch.row; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; line_batch BIGINT; line_row BIGINT; file VARCHAR; line BIGINT; raw VARCHAR, null of a line booked at once; default_job VARCHAR; outcome VARCHAR, null of a line booked at once; reason VARCHAR; ended_in BIGINT, the batch of the outcome
SELECT
    l.batch || '.' || l.row AS id,
    l.batch AS line_batch,
    l.row AS line_row,
    f.name AS file,
    l.line,
    t.raw,
    f.default_job,
    o.outcome,
    o.reason,
    o.batch AS ended_in
FROM known_sheet_line($upto) AS l
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
LEFT JOIN known_held_text($upto) AS t ON t.batch = l.batch AND t.line_row = l.row
LEFT JOIN line_standing($upto) AS o ON o.line_batch = l.batch AND o.line_row = l.row
WHERE l.batch || '.' || l.row IN (SELECT unnest($ids::VARCHAR[]))
ORDER BY f.name, l.line, l.batch, l.row
