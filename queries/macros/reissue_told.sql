-- reissue_told: what a person is to do about a re-issue.
CREATE MACRO reissue_told(sheet, worker_id, day) AS
'sheet ' || sheet || ' has other lines of worker ' || worker_id || ' on ' || day
|| ' already; confirming takes back those not given again, see `fairhours reissues`;'
|| ' to correct one line `fairhours correct entry`'
