-- documents_astray: documents without their bytes, with a gap or a double before their number, or not known at the batch before theirs.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
WITH issued AS (
    SELECT
        batch, row, number, known_at, sha256,
        row_number() OVER (PARTITION BY series ORDER BY batch, row) AS expected,
        count(*) OVER (PARTITION BY document) AS alike
    FROM known_document($upto)
)

SELECT i.batch, i.row
FROM issued AS i
LEFT JOIN (SELECT sha256, min(batch) AS batch FROM known_content($upto) GROUP BY sha256) AS c
    ON c.sha256 = i.sha256
WHERE i.number <> i.expected
    OR i.alike > 1
    OR i.known_at <> i.batch - 1
    OR (
        i.sha256 IS NOT NULL
        AND (c.batch IS NULL OR c.batch > i.batch)
        AND NOT EXISTS (SELECT 1 FROM known_content($upto) WHERE sha256 IS NULL)
    )
ORDER BY i.batch, i.row
