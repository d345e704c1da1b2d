-- known_sheet_line: the lines of sheets, each with the file it stands in.
CREATE MACRO known_sheet_line(upto) AS TABLE
SELECT batch, row, batch AS file_batch, file_row, line
FROM line
WHERE batch <= upto
