-- doubt_entries_at_places: the entries that were ever posted to the places and days that may raise a doubt.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT DISTINCT p.entry_batch AS batch, p.entry_row AS row
FROM known_posting($upto) AS p
SEMI JOIN (SELECT job, booked_to, day FROM staged_doubt_candidate WHERE job IS NOT NULL AND NOT is_one_enough) AS c
    ON c.job = p.job AND c.day = p.day AND coalesce(c.booked_to, p.booked_to) = p.booked_to
ORDER BY batch, row
