-- replaced_by_loads: the entries that confirmed re-issues of the loads chosen took back, still reversed.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; ms BIGINT, milliseconds
WITH confirmed AS (
    SELECT DISTINCT i.sheet, i.worker_id, i.day, n.batch AS ended_in
    FROM reissue($upto) AS i
    INNER JOIN known_reissue_end($upto) AS n ON n.reissue_batch = i.batch AND n.reissue_row = i.reissue_row
    SEMI JOIN staged_load_chosen AS c ON c.file_batch = i.file_batch AND c.file_row = i.file_row
    WHERE n.ended = 'confirmed'
)

SELECT r.reverses_batch || '.' || r.reverses_row AS entry, -r.ms AS ms
FROM stored_entry($upto) AS r
SEMI JOIN confirmed AS c
    ON c.ended_in = r.batch
    AND sheet_alike(c.sheet) = sheet_alike(r.sheet)
    AND c.worker_id = r.worker_id
    AND c.day = r.day
INNER JOIN known_reversal($upto) AS t ON t.entry_batch = r.batch AND t.entry_row = r.row AND t.scope = 're_issue'
ANTI JOIN stored_entry($upto) AS u ON u.reverses_batch = r.batch AND u.reverses_row = r.row
WHERE r.reverses_batch IS NOT NULL AND r.ms <= 0
ORDER BY r.reverses_batch, r.reverses_row
