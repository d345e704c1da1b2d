-- names_to_check: the workers' names that are not erased, with what was sealed of them.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; name VARCHAR; name_salt BLOB; name_hash VARCHAR
SELECT batch, row, name, name_salt, name_hash
FROM known_worker_name($upto)
WHERE name IS NOT NULL
ORDER BY batch, row
