-- names_known: the names of the workers in the crew, now and before, and the aliases confirmed for them.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; name VARCHAR; kind VARCHAR, now, before or alias
-- What was erased leads to nobody.
WITH crew AS (
    SELECT DISTINCT worker_id
    FROM current_crew($upto)
)

SELECT n.worker_id, n.name, CASE WHEN c.row IS NOT NULL THEN 'now' ELSE 'before' END AS kind
FROM stored_worker_name($upto) AS n
SEMI JOIN crew AS w ON w.worker_id = n.worker_id
LEFT JOIN current_worker_name($upto) AS c ON c.batch = n.batch AND c.row = n.row
WHERE n.name IS NOT NULL
UNION ALL
SELECT a.worker_id, s.alias AS name, 'alias' AS kind
FROM current_worker_alias($upto) AS a
INNER JOIN stored_worker_alias($upto) AS s ON s.batch = a.batch AND s.row = a.row
SEMI JOIN crew AS w ON w.worker_id = a.worker_id
WHERE s.alias IS NOT NULL
ORDER BY worker_id, kind, name
