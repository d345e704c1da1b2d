-- corrections_alike: the same corrections of every line of the entries to be corrected.
-- In:  $fields VARCHAR[]; $values VARCHAR[], null for blank
-- Out: line_batch BIGINT; line_row BIGINT; field VARCHAR; now VARCHAR
SELECT r.line_batch, r.line_row, g.field, g.now
FROM staged_parsed AS r
CROSS JOIN (SELECT unnest($fields::VARCHAR[]) AS field, unnest($values::VARCHAR[]) AS now) AS g
ORDER BY r.line_batch, r.line_row, g.field
