-- no_sheet_lines: no lines, for a file of whose sheets the book has nothing on the same worker-days.
-- In:  none
-- Out: line BIGINT; outcome VARCHAR; reason VARCHAR; line_batch BIGINT; line_row BIGINT; near_batch BIGINT; near_row BIGINT; sheet VARCHAR; sheet_name VARCHAR; worker_id VARCHAR; day DATE; booking_code VARCHAR
SELECT
    NULL::BIGINT AS line,
    NULL::VARCHAR AS outcome,
    NULL::VARCHAR AS reason,
    NULL::BIGINT AS line_batch,
    NULL::BIGINT AS line_row,
    NULL::BIGINT AS near_batch,
    NULL::BIGINT AS near_row,
    NULL::VARCHAR AS sheet,
    NULL::VARCHAR AS sheet_name,
    NULL::VARCHAR AS worker_id,
    NULL::DATE AS day,
    NULL::VARCHAR AS booking_code
WHERE false
ORDER BY line
