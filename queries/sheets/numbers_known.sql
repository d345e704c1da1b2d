-- numbers_known: the numbers of the parts of a file that are known.
-- In:  none
-- Out: part BIGINT
SELECT part
FROM staged_known_file_part
ORDER BY part
