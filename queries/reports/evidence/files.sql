-- files: the files in which sheet lines behind the entries of a change stand, with the salts of their digests.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; name VARCHAR; sha256 VARCHAR; salt BLOB, of the digest
WITH wanted AS (
    SELECT DISTINCT e.line_batch AS batch, e.line_row AS row
    FROM known_entry($upto) AS e
    SEMI JOIN (
        SELECT p.entry_batch, p.entry_row
        FROM known_posting($upto) AS p
        ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
        WHERE p.job = $job AND p.booked_to = $change
        GROUP BY p.entry_batch, p.entry_row
        HAVING sum(p.ms) <> 0
    ) AS p ON p.entry_batch = e.batch AND p.entry_row = e.row
)

SELECT f.batch, f.row, f.name, f.sha256, f.sha256_salt AS salt
FROM stored_file($upto) AS f
SEMI JOIN (
    SELECT l.file_batch, l.file_row
    FROM known_sheet_line($upto) AS l
    SEMI JOIN wanted AS w ON w.batch = l.batch AND w.row = l.row
) AS l ON l.file_batch = f.batch AND l.file_row = f.row
ORDER BY f.batch, f.row
