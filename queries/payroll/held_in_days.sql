-- held_in_days: how many lines of some days are held, those without a day among them.
-- In:  $from DATE, null for all before; $to DATE, inclusive
-- Out: lines BIGINT
SELECT count(*) AS lines
FROM staged_parsed
WHERE day IS NULL OR day BETWEEN coalesce($from::DATE, day) AND $to::DATE
ORDER BY lines
