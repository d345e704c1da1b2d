-- crew_between: who works in the yard on any of some days, with the name and the trade of the last.
-- In:  $first DATE; $last DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; name VARCHAR, null once erased; trade VARCHAR
WITH active AS (
    SELECT worker_id, trade
    FROM current_crew($upto)
    WHERE active_from <= $last AND (active_to IS NULL OR active_to >= $first)
    QUALIFY row_number() OVER (PARTITION BY worker_id ORDER BY active_from DESC) = 1
)

SELECT a.worker_id, n.name, a.trade
FROM active AS a
LEFT JOIN current_worker_name($upto) AS n USING (worker_id)
ORDER BY a.worker_id
