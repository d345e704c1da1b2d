-- last_sending: how often a document was sent, withdrawn sendings too.
-- In:  $document VARCHAR; $upto BIGINT, the last batch that counts
-- Out: number BIGINT, 0 of one that never was
SELECT coalesce(max(number), 0) AS number
FROM known_sending($upto)
WHERE document = $document
ORDER BY number
