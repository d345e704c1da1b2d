-- entries_unread: what is wrong with the entries to be corrected, a message a row, with the first entry that it is of.
-- In:  $upto BIGINT, the last batch that counts
-- Out: message VARCHAR; entries BIGINT; told VARCHAR, file, line and id of the first
SELECT
    r.message,
    count(*) AS entries,
    arg_min(
        f.name || ':' || l.line || ' (' || r.entry_batch || '.' || r.entry_row || ')',
        (f.name, l.line, r.entry_batch, r.entry_row)
    ) AS told
FROM staged_parsed AS r
INNER JOIN known_sheet_line($upto) AS l ON l.batch = r.line_batch AND l.row = r.line_row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
WHERE r.reason IS NOT NULL
GROUP BY r.message
ORDER BY told, r.message
