-- doubt_kinds: the kinds of doubts that may come up.
-- In:  none
-- Out: kind VARCHAR
SELECT DISTINCT kind
FROM staged_doubt_candidate
ORDER BY kind
