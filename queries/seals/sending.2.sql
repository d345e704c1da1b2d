-- sending.2: the sealed text of each row of sending, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(document),
        sealed(number),
        sealed(sent_to),
        sealed(sent_on),
        sealed(sent_by),
        sealed(reply_due),
        sealed(replied_on),
        sealed(replied_by),
        sealed(answer_hash),
        sealed(note_hash),
        sealed(attached_batch),
        sealed(attached_row)
    ) AS sealed_text
FROM stored_sending($upto)
WHERE batch >= $since
ORDER BY batch, row
