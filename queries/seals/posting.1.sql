-- posting.1: the sealed text of each row of posting that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(entry_batch::VARCHAR),
        sealed(entry_row::VARCHAR),
        sealed(worker_id),
        sealed(day::VARCHAR),
        sealed(trade),
        sealed(pay_class),
        sealed(job),
        sealed(booked_to),
        sealed(cause),
        sealed(rework),
        sealed(ms::VARCHAR),
        sealed(reason),
        sealed(rule)
    ) AS sealed_text
FROM known_posting($batch)
WHERE batch = $batch
ORDER BY row
