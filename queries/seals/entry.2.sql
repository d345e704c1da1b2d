-- entry.2: the sealed text of each row of entry, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(line_batch),
        sealed(line_row),
        sealed(sheet),
        sealed(worker_id),
        sealed(day),
        sealed(ms),
        sealed(start_time),
        sealed(finish_time),
        sealed(break_minutes),
        sealed(booking_code),
        sealed(job_given),
        sealed(note_hash),
        sealed(pay_class),
        sealed(trade),
        sealed(rework),
        sealed(approved_by),
        sealed(reverses_batch),
        sealed(reverses_row)
    ) AS sealed_text
FROM stored_entry($upto)
WHERE batch >= $since
ORDER BY batch, row
