-- pricing_terms: what a job agrees for daywork, provisional sums and omissions, as recorded when.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; daywork VARCHAR, JSON; provisional_sums VARCHAR, JSON; omissions_carry_additions BOOLEAN
SELECT batch, daywork, provisional_sums, omissions_carry_additions
FROM owner_pricing_terms($upto)
WHERE job = $job
ORDER BY batch, row
