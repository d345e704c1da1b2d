-- claim_batch: the batch that issued a claim.
-- In:  $document VARCHAR; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT
SELECT batch
FROM known_document($upto)
WHERE kind = 'claim' AND document = $document
ORDER BY batch
