-- untagged_codes: the codes under which a batch booked time that is untagged, most hours first.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: code VARCHAR, null where none is written; ms BIGINT, milliseconds
SELECT e.booking_code AS code, sum(p.ms)::BIGINT AS ms
FROM known_posting($upto) AS p
INNER JOIN entry_time($upto) AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
WHERE p.batch = $batch AND p.entry_batch = $batch AND p.booked_to = 'untagged'
GROUP BY e.booking_code
HAVING sum(p.ms) <> 0
ORDER BY ms DESC, code
