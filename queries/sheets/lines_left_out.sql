-- lines_left_out: how many lines of known parts are counted and not compared, and how many of them are held or refused.
-- In:  $upto BIGINT, the last batch that counts
-- Out: lines BIGINT; held BIGINT; joined BIGINT, lines compared as the book has them
WITH held AS (
    SELECT count(*) AS lines
    FROM line_standing($upto) AS o
    INNER JOIN staged_line_flagged AS f ON f.batch = o.line_batch AND f.row = o.line_row
    WHERE f.is_known AND o.outcome IN ('held', 'refused')
)

SELECT
    (SELECT coalesce(sum(lines), 0) FROM staged_known_file_part)::BIGINT - (SELECT count(*) FROM staged_line_touched) AS lines,
    h.lines AS held,
    (SELECT count(*) FROM staged_line_touched) AS joined
FROM held AS h
ORDER BY lines
