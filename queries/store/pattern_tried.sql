-- pattern_tried: whether a regular expression can be used; an error of the engine when not.
-- In:  $pattern VARCHAR
-- Out: matched BOOLEAN
SELECT regexp_matches('', $pattern::VARCHAR) AS matched
ORDER BY matched
