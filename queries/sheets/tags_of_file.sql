-- tags_of_file: the tags that the rows of a file set.
-- In:  $ids VARCHAR[], entries as batch.row; $jobs VARCHAR[]; $booked_to VARCHAR[]; $causes VARCHAR[]; $of_own_job BOOLEAN[]; $reworks VARCHAR[]; $reasons VARCHAR[]
-- Out: entry_batch BIGINT; entry_row BIGINT; job VARCHAR; booked_to VARCHAR; cause VARCHAR; of_own_job BOOLEAN; rework VARCHAR; reason VARCHAR
WITH typed AS (
    SELECT
        unnest($ids::VARCHAR[]) AS entry,
        unnest($jobs::VARCHAR[]) AS job,
        unnest($booked_to::VARCHAR[]) AS booked_to,
        unnest($causes::VARCHAR[]) AS cause,
        unnest($of_own_job::BOOLEAN[]) AS of_own_job,
        unnest($reworks::VARCHAR[]) AS rework,
        unnest($reasons::VARCHAR[]) AS reason
)

SELECT
    split_part(entry, '.', 1)::BIGINT AS entry_batch,
    split_part(entry, '.', 2)::BIGINT AS entry_row,
    job,
    booked_to,
    cause,
    of_own_job,
    rework,
    reason
FROM typed
ORDER BY entry_batch, entry_row
