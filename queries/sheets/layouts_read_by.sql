-- layouts_read_by: by which layouts a version of the program read files of sheets with the same bytes.
-- In:  $sha256 VARCHAR; $program VARCHAR, the version that reads; $upto BIGINT, the last batch that counts
-- Out: layout VARCHAR
SELECT DISTINCT f.layout
FROM known_file($upto) AS f
LEFT JOIN known_batch($upto) AS b ON b.sequence = f.batch
WHERE f.sha256 = $sha256
    AND f.kind = 'sheets'
    -- The batch being written is not sealed yet.
    AND coalesce(b.program_version = $program, true)
ORDER BY f.layout
