-- held_reasons: for what the lines are held that are.
-- In:  $upto BIGINT, the last batch that counts
-- Out: reason VARCHAR
SELECT DISTINCT reason
FROM line_standing($upto)
WHERE outcome = 'held'
ORDER BY reason
