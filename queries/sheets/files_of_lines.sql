-- files_of_lines: the files of the lines wanted, and the parts of each that are to be read.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; name VARCHAR; layout VARCHAR; encoding VARCHAR; default_job VARCHAR
SELECT f.batch, f.row, f.name, f.layout, f.encoding, f.default_job
FROM known_file($upto) AS f
SEMI JOIN staged_line_wanted AS w ON w.line_batch = f.batch AND w.file_row = f.row
ORDER BY f.batch, f.row
