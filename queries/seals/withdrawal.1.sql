-- withdrawal.1: the sealed text of each row of withdrawal that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(table_name),
        sealed(fact_batch::VARCHAR),
        sealed(fact_row::VARCHAR),
        sealed(place_batch::VARCHAR),
        sealed(place_row::VARCHAR),
        sealed(reason)
    ) AS sealed_text
FROM known_withdrawal($batch)
WHERE batch = $batch
ORDER BY row
