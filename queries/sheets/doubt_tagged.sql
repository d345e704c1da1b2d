-- doubt_tagged: the days of workers with an entry that is tagged by hand and has a note.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE
SELECT DISTINCT e.worker_id, e.day
FROM plain_entry($upto) AS e
SEMI JOIN current_hand_tag($upto) AS t ON t.line_batch = e.line_batch AND t.line_row = e.line_row
WHERE e.note_row IS NOT NULL OR e.own_note IS NOT NULL
ORDER BY e.worker_id, e.day
