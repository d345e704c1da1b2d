-- change_events: the events of a job's changes, in the order of their days.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; event VARCHAR; day DATE; revision BIGINT; person VARCHAR; reference VARCHAR; valid_until DATE; rough BOOLEAN; not_to_exceed BOOLEAN; days_granted BIGINT; agreed_value DECIMAL(38,4); agreed_ms BIGINT, milliseconds; days_requested BIGINT; received_on DATE; document VARCHAR; first_batch BIGINT
SELECT
    change,
    event,
    day,
    revision,
    person,
    reference,
    valid_until,
    rough,
    not_to_exceed,
    days_granted,
    agreed_value,
    agreed_ms,
    days_requested,
    received_on,
    document,
    first_batch
FROM owner_change_event($upto)
WHERE job = $job
ORDER BY day, first_batch, first_row
