-- reissue_end.1: the sealed text of each row of reissue_end that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(reissue_batch::VARCHAR),
        sealed(reissue_row::VARCHAR),
        sealed(ended),
        sealed(reason)
    ) AS sealed_text
FROM known_reissue_end($batch)
WHERE batch = $batch
ORDER BY row
