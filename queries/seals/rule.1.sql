-- rule.1: the sealed text of each row of rule that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(rule),
        sealed(position::VARCHAR),
        sealed(priority::VARCHAR),
        sealed(booked_to),
        sealed(cause),
        sealed(booking_code),
        sealed(note_contains),
        sealed(note_matches),
        sealed(worker_id),
        sealed(trade),
        sealed(job),
        sealed(day_from::VARCHAR),
        sealed(day_to::VARCHAR),
        sealed(share::VARCHAR),
        sealed(rework)
    ) AS sealed_text
FROM known_rule($batch)
WHERE batch = $batch
ORDER BY row
