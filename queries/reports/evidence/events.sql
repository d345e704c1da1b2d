-- events: what happened of a change between the parties, its request among it, each with the row that it is sealed in; what the yard priced and did not send is its own.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT; event VARCHAR; day DATE; revision BIGINT, null of the request; person VARCHAR; reference VARCHAR; days_requested BIGINT; days_granted BIGINT; aware_on DATE; received_on DATE
SELECT
    table_name, batch, row, event, day, revision, person, reference, days_requested, days_granted,
    aware_on, received_on
FROM (
    SELECT
        'change' AS table_name, batch, row, 'requested' AS event, requested_on AS day,
        NULL::BIGINT AS revision, requested_by AS person, NULL::VARCHAR AS reference,
        days_requested, NULL::BIGINT AS days_granted, NULL::DATE AS aware_on,
        NULL::DATE AS received_on, batch AS first_batch, row AS first_row
    FROM current_change($upto)
    WHERE job = $job AND change = $change
    UNION ALL
    SELECT
        'change_event' AS table_name, batch, row, event, day, revision, person, reference,
        days_requested, days_granted, aware_on, received_on, first_batch, first_row
    FROM recorded_change_event($upto)
    WHERE job = $job AND change = $change AND event <> 'priced'
)
ORDER BY day, table_name, first_batch, first_row
