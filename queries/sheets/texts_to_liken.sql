-- texts_to_liken: each different note and code of what is left to tag, and each different note that is tagged.
-- In:  none
-- Out: kind VARCHAR, note, code or tagged; text VARCHAR
SELECT DISTINCT 'note' AS kind, note AS text
FROM staged_spot
WHERE note IS NOT NULL
UNION ALL
SELECT DISTINCT 'code' AS kind, code AS text
FROM staged_spot
WHERE code IS NOT NULL
UNION ALL
SELECT DISTINCT 'tagged' AS kind, note AS text
FROM staged_tagged_time
WHERE note IS NOT NULL
ORDER BY kind, text
