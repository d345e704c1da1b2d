-- corrections_naming: the corrections of who approved hours in which a name stands.
-- In:  $names VARCHAR[], composed; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR, as table:batch.row
SELECT 'line_correction:' || batch || '.' || row AS id
FROM stored_line_correction($upto)
WHERE field = 'approved_by'
    AND list_has_any($names::VARCHAR[], [nfc_normalize(trim(was)), nfc_normalize(trim(now))])
ORDER BY batch, row
