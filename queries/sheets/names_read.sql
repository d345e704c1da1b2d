-- names_read: names as they are written, each with the worker that it leads to, or why to none.
-- In:  $texts VARCHAR[]; $workers VARCHAR[]; $messages VARCHAR[], null of a name that leads to a worker
-- Out: text VARCHAR; worker_id VARCHAR, of a name that leads to nobody the name, marked; message VARCHAR
SELECT
    unnest($texts::VARCHAR[]) AS text,
    unnest($workers::VARCHAR[]) AS worker_id,
    unnest($messages::VARCHAR[]) AS message
ORDER BY text
