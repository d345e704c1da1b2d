-- claims_beyond_booked: entries of which a claim took up more at a place than was booked there then, or of which less than nothing was claimed.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; document VARCHAR, of the claim
WITH claimed AS (
    SELECT
        entry_batch, entry_row, job, booked_to, batch, document,
        sum(ms) OVER (
            PARTITION BY entry_batch, entry_row, job, booked_to
            ORDER BY batch RANGE UNBOUNDED PRECEDING
        ) AS ms
    FROM known_claim_posting($upto)
),

posted AS (
    SELECT p.entry_batch, p.entry_row, p.job, p.booked_to, p.batch, p.ms
    FROM known_posting($upto) AS p
    SEMI JOIN claimed AS c ON c.entry_batch = p.entry_batch AND c.entry_row = p.entry_row
),

compared AS (
    SELECT
        c.entry_batch, c.entry_row, c.batch, c.document, c.ms,
        coalesce(sum(p.ms), 0) AS booked_ms
    FROM (SELECT DISTINCT * FROM claimed) AS c
    LEFT JOIN posted AS p
        ON p.entry_batch = c.entry_batch
        AND p.entry_row = c.entry_row
        AND p.job = c.job
        AND p.booked_to = c.booked_to
        AND p.batch <= c.batch
    GROUP BY c.entry_batch, c.entry_row, c.job, c.booked_to, c.batch, c.document, c.ms
)

SELECT entry_batch, entry_row, document
FROM compared
WHERE ms NOT BETWEEN 0 AND booked_ms
ORDER BY batch, entry_batch, entry_row
