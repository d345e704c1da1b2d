-- lines_there: whether the book has entries, whether any line was ever held, and whether any was corrected.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entries BOOLEAN; held BOOLEAN; corrected BOOLEAN
SELECT
    EXISTS (SELECT 1 FROM entry_time($upto)) AS entries,
    EXISTS (SELECT 1 FROM known_line_outcome($upto) WHERE outcome = 'held') AS held,
    EXISTS (SELECT 1 FROM known_line_correction($upto)) AS corrected
ORDER BY entries
