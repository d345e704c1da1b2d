-- reissue_text: what a person is to do about a re-issue.
CREATE MACRO reissue_text(sheet, worker_id, day) AS
'sheet ' || sheet || ' already has other lines of worker ' || worker_id || ' on ' || day
|| '; confirming reverses those not repeated, see `fairhours reissues`;'
|| ' to correct one line, use `fairhours correct entry`'
