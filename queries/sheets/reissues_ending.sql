-- reissues_ending: the open re-issues of the loads chosen, refused.
-- In:  $reason VARCHAR; $upto BIGINT, the last batch that counts
-- Out: reissue_batch BIGINT; reissue_row BIGINT; ended VARCHAR; reason VARCHAR
SELECT DISTINCT o.batch AS reissue_batch, o.reissue_row, 'refused' AS ended, $reason::VARCHAR AS reason
FROM open_reissued_line($upto) AS o
SEMI JOIN staged_load_chosen AS c ON c.file_batch = o.file_batch AND c.file_row = o.file_row
ORDER BY reissue_batch, reissue_row
