-- held_naming: the texts of lines that were held and have ended which name their worker, each with the name.
-- In:  $upto BIGINT, the last batch that counts
-- Out: id VARCHAR, as table:batch.row; name VARCHAR
WITH named AS (
    SELECT
        h.batch,
        h.row,
        h.line_row,
        json_extract_string(h.raw, ['$.worker_name', '$.cells.worker_name', '$.read.worker_name']) AS names
    FROM stored_held_text($upto) AS h
    WHERE json_valid(h.raw)
)

SELECT 'held_text:' || n.batch || '.' || n.row AS id, coalesce(n.names[1], n.names[3], n.names[2]) AS name
FROM named AS n
INNER JOIN line_standing($upto) AS o ON o.line_batch = n.batch AND o.line_row = n.line_row
WHERE o.outcome <> 'held' AND coalesce(n.names[1], n.names[3], n.names[2]) IS NOT NULL
ORDER BY n.batch, n.row
