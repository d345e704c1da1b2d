-- entry.1: the sealed text of each row of entry that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(line_batch::VARCHAR),
        sealed(line_row::VARCHAR),
        sealed(sheet),
        sealed(worker_id),
        sealed(day::VARCHAR),
        sealed(ms::VARCHAR),
        sealed(start_time),
        sealed(finish_time),
        sealed(break_minutes::VARCHAR),
        sealed(booking_code),
        sealed(job_given),
        sealed(note),
        sealed(pay_class),
        sealed(trade),
        sealed(rework),
        sealed(approved_by),
        sealed(reverses_batch::VARCHAR),
        sealed(reverses_row::VARCHAR)
    ) AS sealed_text
FROM known_entry($batch)
WHERE batch = $batch
ORDER BY row
