-- names_read: names as they are written, each with the worker that it leads to, or why to none.
-- In:  $texts VARCHAR[]; $workers VARCHAR[]; $told VARCHAR[], null of a name that leads to a worker
-- Out: text VARCHAR; worker_id VARCHAR, of a name that leads to nobody the name, marked; told VARCHAR
SELECT
    unnest($texts::VARCHAR[]) AS text,
    unnest($workers::VARCHAR[]) AS worker_id,
    unnest($told::VARCHAR[]) AS told
ORDER BY text
