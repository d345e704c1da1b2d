-- attachments_known: the files attached to the changes of a job, in the order they were attached.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; change VARCHAR; event VARCHAR, null of the request itself; day DATE; revision BIGINT; name VARCHAR; sha256 VARCHAR, null once erased; media_type VARCHAR; byte_count BIGINT; attached_on TIMESTAMP, UTC; actor VARCHAR
SELECT
    'attachment:' || a.batch || '.' || a.row AS id,
    a.change,
    a.event,
    a.day,
    a.revision,
    a.name,
    a.sha256,
    c.media_type,
    c.byte_count,
    b.recorded_at AS attached_on,
    b.actor
FROM known_attachment($upto) AS a
LEFT JOIN current_content($upto) AS c ON c.sha256 = a.sha256
LEFT JOIN known_batch($upto) AS b ON b.sequence = a.batch
WHERE a.job = $job
ORDER BY a.batch, a.row
