-- waiting_reissued_line: lines that an open re-issue brought into the book: they wait for it.
CREATE MACRO waiting_reissued_line(upto) AS TABLE
SELECT i.*
FROM open_reissued_line(upto) AS i
SEMI JOIN known_sheet_line(upto) AS l
    ON l.batch = i.line_batch AND l.row = i.line_row
    AND l.file_batch = i.file_batch AND l.file_row = i.file_row
