-- entries_differing_counted: how many entries are to be corrected.
-- In:  none
-- Out: entries BIGINT
SELECT count(*) AS entries
FROM staged_entry_chosen
ORDER BY entries
