-- progress_known: the measurements of a job that count, by the day they are of.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; trade VARCHAR; day DATE; batch BIGINT; row BIGINT; percent BIGINT, millionths; quantity_done DECIMAL(38,6); quantity_at_completion DECIMAL(38,6); milestone VARCHAR; started DATE; finished DATE; estimate_to_complete_ms BIGINT, milliseconds
SELECT
    work_package AS part,
    trade,
    day,
    place_batch AS batch,
    place_row AS row,
    (percent * 1000000)::BIGINT AS percent,
    quantity_done,
    quantity_at_completion,
    milestone,
    started,
    finished,
    estimate_to_complete_ms
FROM current_progress($upto)
WHERE job = $job
ORDER BY day, place_batch, place_row
