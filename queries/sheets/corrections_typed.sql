-- corrections_typed: corrections of lines, field by field.
-- In:  $ids VARCHAR[], of the lines as batch.row; $fields VARCHAR[]; $values VARCHAR[], null for blank
-- Out: line_batch BIGINT; line_row BIGINT; field VARCHAR; now VARCHAR
WITH typed AS (
    SELECT
        unnest($ids::VARCHAR[]) AS id,
        unnest($fields::VARCHAR[]) AS field,
        unnest($values::VARCHAR[]) AS now
)

SELECT w.line_batch, w.line_row, g.field, g.now
FROM typed AS g
INNER JOIN staged_so_far AS w ON w.line_batch || '.' || w.line_row = g.id
ORDER BY w.line_batch, w.line_row, g.field
