-- no_doubts: the doubts of a kind that cannot come up: none.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[]; about VARCHAR; message VARCHAR
SELECT
    NULL::VARCHAR AS worker_id,
    NULL::DATE AS day,
    NULL::VARCHAR[] AS entries,
    NULL::VARCHAR AS about,
    NULL::VARCHAR AS message
WHERE false
ORDER BY day
