-- held_of_loads: the held and rejected lines of the loads chosen, ended with their file or batch.
-- In:  $scope VARCHAR, file or batch; $why VARCHAR; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR
SELECT o.line_batch, o.line_row, 'refused' AS outcome, $scope::VARCHAR || '_reversed' AS reason, $why::VARCHAR AS message
FROM line_standing($upto) AS o
INNER JOIN known_sheet_line($upto) AS l ON l.batch = o.line_batch AND l.row = o.line_row
SEMI JOIN staged_load_chosen AS c ON c.file_batch = l.file_batch AND c.file_row = l.file_row
WHERE o.outcome IN ('held', 'refused') AND o.reason NOT LIKE '%_reversed'
ORDER BY o.line_batch, o.line_row
