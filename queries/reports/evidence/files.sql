-- files: the files in which sheet lines behind the entries of a change stand, with the salts of their digests.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; name VARCHAR; name_salt BLOB; sha256 VARCHAR; salt BLOB, of the digest
SELECT f.batch, f.row, f.name, f.name_salt, f.sha256, f.sha256_salt AS salt
FROM stored_file($upto) AS f
SEMI JOIN (
    SELECT l.file_batch, l.file_row
    FROM known_sheet_line($upto) AS l
    SEMI JOIN standing_time($upto) AS s
        ON s.line_batch = l.batch AND s.line_row = l.row AND s.job = $job AND s.booked_to = $change
) AS l ON l.file_batch = f.batch AND l.file_row = f.row
ORDER BY f.batch, f.row
