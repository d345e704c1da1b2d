-- lines_reissued: the lines of a file of the worker-days that it re-issues.
-- In:  $batch BIGINT, the batch being written; $file_row BIGINT
-- Out: file_batch BIGINT; file_row BIGINT; line BIGINT; sheet VARCHAR; worker_id VARCHAR, null where a name leads to nobody yet; day DATE; line_batch BIGINT; line_row BIGINT
SELECT
    $batch::BIGINT AS file_batch,
    $file_row::BIGINT AS file_row,
    g.line,
    min(g.sheet_name) OVER (PARTITION BY g.sheet) AS sheet,
    CASE WHEN NOT starts_with(g.worker_id, chr(31)) THEN g.worker_id END AS worker_id,
    g.day,
    g.line_batch,
    g.line_row
FROM staged_sheet_of_file AS g
INNER JOIN staged_sheet_differing AS d ON d.sheet = g.sheet AND d.worker_id = g.worker_id AND d.day = g.day
WHERE NOT d.is_mended
ORDER BY g.line
