-- budgets_moved: the sources whose budgets a batch moved, with the change or baseline change they are of.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; source VARCHAR; reference VARCHAR
SELECT DISTINCT job, source, reference
FROM known_budget_posting($upto)
WHERE batch = $batch
ORDER BY job, source, reference
