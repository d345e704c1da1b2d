-- open_reissued_line: the lines of re-issues that are not ended.
CREATE MACRO open_reissued_line(upto) AS TABLE
SELECT * FROM reissue(upto) WHERE ended IS NULL
