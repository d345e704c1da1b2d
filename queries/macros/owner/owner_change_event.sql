-- owner_change_event: the life of change requests.
CREATE MACRO owner_change_event(upto) AS TABLE
SELECT
    first_batch, first_row, job, change, event, day, person, revision, reference, valid_until,
    rough, not_to_exceed, days_granted, agreed_value, agreed_ms, days_requested, received_on,
    document
FROM recorded_change_event(upto)
