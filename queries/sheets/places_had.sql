-- places_had: the places of the lines of a file on worker-days that the book has lines of.
-- In:  none
-- Out: place BIGINT
SELECT p.place
FROM staged_parsed AS p
SEMI JOIN staged_had AS h
    ON h.worker_id IS NOT DISTINCT FROM p.worker_id
    AND h.date_text IS NOT DISTINCT FROM coalesce(p.day::VARCHAR, p.date_text)
ORDER BY p.place
