-- change_event.2: the sealed text of each row of change_event, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(change),
        sealed(event),
        sealed(day),
        sealed(person),
        sealed(revision),
        sealed(reference_hash),
        sealed(valid_until),
        sealed(rough),
        sealed(not_to_exceed),
        sealed(days_granted),
        sealed(condition_hash),
        sealed(agreed_value),
        sealed(agreed_ms),
        sealed(days_requested),
        sealed(aware_on),
        sealed(received_on),
        sealed(document_hash),
        sealed(note_hash)
    ) AS sealed_text
FROM stored_change_event($upto)
WHERE batch >= $since
ORDER BY batch, row
