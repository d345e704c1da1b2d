-- tags_to_keep: the tags by hand that are new.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; reason VARCHAR
SELECT line_batch, line_row, job, booked_to, cause, rework, reason
FROM staged_tag
WHERE state = 'tag'
ORDER BY line_batch, line_row
