-- lines_refused: the held lines named, refused, with why.
-- In:  $ids VARCHAR[], as batch.row; $whys VARCHAR[]; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR
WITH typed AS (
    SELECT unnest($ids::VARCHAR[]) AS id, unnest($whys::VARCHAR[]) AS why
)

SELECT o.line_batch, o.line_row, 'refused' AS outcome, 'refused' AS reason, g.why AS message
FROM typed AS g
INNER JOIN line_standing($upto) AS o ON o.line_batch || '.' || o.line_row = g.id
WHERE o.outcome = 'held'
ORDER BY o.line_batch, o.line_row
