-- places_all: the places of all parsed lines.
-- In:  none
-- Out: place BIGINT
SELECT place
FROM staged_parsed
ORDER BY place
