-- lines_there: whether the book has entries, and whether any line was ever held.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entries BOOLEAN; held BOOLEAN
SELECT
    EXISTS (SELECT 1 FROM known_entry($upto)) AS entries,
    EXISTS (SELECT 1 FROM known_line_outcome($upto) WHERE outcome = 'held') AS held
ORDER BY entries
