-- line_written: the texts of the lines that are staged as they were written.
-- In:  none
-- Out: raw VARCHAR
SELECT raw
FROM staged_written
ORDER BY place
