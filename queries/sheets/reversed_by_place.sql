-- reversed_by_place: the hours that the reversals of a batch took back, by place.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: place VARCHAR; entries BIGINT; ms DECIMAL(38,0), milliseconds
SELECT
    concat_ws(' ', p.job, p.booked_to, p.cause, 'rework ' || p.rework) AS place,
    count(DISTINCT p.entry_row) AS entries,
    sum(-p.ms)::DECIMAL(38,0) AS ms
FROM known_posting($upto) AS p
SEMI JOIN known_reversal($upto) AS t ON t.entry_batch = p.entry_batch AND t.entry_row = p.entry_row
WHERE p.entry_batch = $batch
GROUP BY ALL
ORDER BY ms DESC, place
