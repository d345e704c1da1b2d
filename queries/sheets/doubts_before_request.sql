-- doubts_before_request: time booked to a change on a day before it was requested, unless a person tagged it so.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
SELECT
    e.worker_id,
    e.day,
    [e.entry] AS entries,
    e.entry || ' ' || c.job || ' ' || c.change || ' ' || c.requested_on AS about,
    'worker ' || e.worker_id || ' has ' || hours_text(sum(p.ms)::BIGINT) || ' h booked to ' || c.job || ' ' || c.change
        || ' on ' || e.day || ', but the change was requested on ' || c.requested_on AS message
FROM staged_doubt_entry AS e
INNER JOIN staged_doubt_place AS p ON p.entry = e.entry
INNER JOIN current_change($upto) AS c ON c.job = p.job AND c.change = p.booked_to AND e.day < c.requested_on
INNER JOIN known_entry($upto) AS k ON k.batch = e.batch AND k.row = e.row
ANTI JOIN current_hand_tag($upto) AS t
    ON t.line_batch = k.line_batch AND t.line_row = k.line_row AND t.job = c.job AND t.booked_to = c.change
GROUP BY e.entry, e.worker_id, e.day, c.job, c.change, c.requested_on
ORDER BY e.day, e.worker_id, about
