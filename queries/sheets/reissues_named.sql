-- reissues_named: the re-issues named, and how each ended.
-- In:  $ids VARCHAR[], as batch.row; $upto BIGINT, the last batch that counts
-- Out: reissue VARCHAR; reissue_batch BIGINT; reissue_row BIGINT; file VARCHAR; sheet VARCHAR; sheet_folded VARCHAR; ended VARCHAR, null while open
SELECT DISTINCT i.reissue, i.batch AS reissue_batch, i.reissue_row, f.name AS file, i.sheet, sheet_alike(i.sheet) AS sheet_folded, i.ended
FROM reissue($upto) AS i
INNER JOIN known_file($upto) AS f ON f.batch = i.file_batch AND f.row = i.file_row
WHERE i.reissue IN (SELECT unnest($ids::VARCHAR[]))
ORDER BY reissue_batch, i.reissue_row
