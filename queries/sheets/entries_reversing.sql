-- entries_reversing: the entries that reverse those chosen, each with their time negated.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; reverses_batch BIGINT; reverses_row BIGINT
SELECT
    line_batch,
    line_row,
    sheet,
    worker_id,
    day,
    -ms AS ms,
    start_time,
    finish_time,
    break_minutes,
    booking_code,
    job_given,
    -- What a person wrote stands once, so that it can be erased.
    NULL::VARCHAR AS note,
    pay_class,
    trade,
    rework,
    NULL::VARCHAR AS approved_by,
    batch AS reverses_batch,
    row AS reverses_row
FROM known_entry($upto) AS e
SEMI JOIN staged_entry_chosen AS c ON c.entry_batch = e.batch AND c.entry_row = e.row
ORDER BY reverses_batch, reverses_row
