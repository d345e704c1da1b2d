-- change_event.1: the sealed text of each row of change_event that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(change),
        sealed(event),
        sealed(day::VARCHAR),
        sealed(person),
        sealed(revision::VARCHAR),
        sealed(reference),
        sealed(valid_until::VARCHAR),
        sealed(rough::VARCHAR),
        sealed(not_to_exceed::VARCHAR),
        sealed(days_granted::VARCHAR),
        sealed(condition),
        sealed(agreed_value::VARCHAR),
        sealed(agreed_ms::VARCHAR),
        sealed(note)
    ) AS sealed_text
FROM known_change_event($batch)
WHERE batch = $batch
ORDER BY row
