-- tags_elsewhere: where the entries to be tagged are booked now.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; booked_to VARCHAR, its places
WITH placed AS (
    SELECT p.entry_batch, p.entry_row, concat_ws(' ', p.job, p.booked_to, p.cause) AS place
    FROM known_posting($upto) AS p
    SEMI JOIN (SELECT entry_batch, entry_row FROM staged_tag WHERE state <> 'as_before') AS t USING (entry_batch, entry_row)
    GROUP BY p.entry_batch, p.entry_row, p.job, p.booked_to, p.cause
    HAVING sum(p.ms) <> 0
)

SELECT entry_batch || '.' || entry_row AS entry, string_agg(place, ', ' ORDER BY place) AS booked_to
FROM placed
GROUP BY entry_batch, entry_row
ORDER BY entry
