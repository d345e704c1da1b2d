-- erasures_known: what was erased, by which batch and why.
-- In:  $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; fact_batch BIGINT; fact_row BIGINT, 0 of a batch itself; batch BIGINT; row BIGINT; reason VARCHAR
SELECT table_name, fact_batch, fact_row, batch, row, reason
FROM known_erasure($upto)
ORDER BY batch, row
