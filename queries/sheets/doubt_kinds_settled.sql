-- doubt_kinds_settled: the kinds of which a doubt is settled.
-- In:  $upto BIGINT, the last batch that counts
-- Out: kind VARCHAR
SELECT DISTINCT kind
FROM current_doubt_settled($upto)
WHERE settled
ORDER BY kind
