-- entries_unread: what is wrong with the entries to be corrected, a message a row, with the first entry that it is of.
-- In:  $upto BIGINT, the last batch that counts
-- Out: message VARCHAR; entries BIGINT; file VARCHAR; line BIGINT; entry VARCHAR, as batch.row
WITH unread AS (
    SELECT
        r.message,
        count(*) AS entries,
        min((f.name, l.line, r.entry_batch, r.entry_row)) AS first
    FROM staged_parsed AS r
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = r.line_batch AND l.row = r.line_row
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
    WHERE r.reason IS NOT NULL
    GROUP BY r.message
)

SELECT message, entries, first[1] AS file, first[2] AS line, first[3] || '.' || first[4] AS entry
FROM unread
ORDER BY file, line, entry, message
