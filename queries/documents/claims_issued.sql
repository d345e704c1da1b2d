-- claims_issued: the claims of a job that were issued, in the order they were.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: claim BIGINT, the n-th of the job; document VARCHAR, its number; day DATE, the last that it counts; issued_on DATE; known_at BIGINT, the batch its page was known at
SELECT
    row_number() OVER (ORDER BY batch, row) AS claim,
    document,
    day_to AS day,
    issued_on,
    known_at
FROM known_document($upto)
WHERE kind = 'claim' AND job = $job
ORDER BY claim
