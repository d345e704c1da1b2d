-- reversal.1: the sealed text of each row of reversal that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(entry_batch::VARCHAR),
        sealed(entry_row::VARCHAR),
        sealed(scope),
        sealed(reason)
    ) AS sealed_text
FROM known_reversal($batch)
WHERE batch = $batch
ORDER BY row
