-- withdrawals_astray: withdrawals of a fact that was not there before, or was withdrawn already.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT w.batch, w.row
FROM known_withdrawal($upto) AS w
LEFT JOIN withdrawable_fact($upto) AS f
    ON f.table_name = w.table_name AND f.batch = w.fact_batch AND f.row = w.fact_row
WHERE f.batch IS NULL OR f.batch >= w.batch OR coalesce(w.place_batch > w.fact_batch, false)
UNION
SELECT batch, row
FROM known_withdrawal($upto)
QUALIFY row_number() OVER (PARTITION BY table_name, fact_batch, fact_row ORDER BY batch, row) > 1
ORDER BY batch, row
