-- week_begin: the weekday on which the yard's weeks begin.
-- In:  $upto BIGINT, the last batch that counts
-- Out: first BIGINT, 0 of Monday
SELECT first::BIGINT AS first
FROM first_weekday($upto)
ORDER BY first
