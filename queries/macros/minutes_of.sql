-- minutes_of: whole minutes, null of anything else.
CREATE MACRO minutes_of(text) AS
CASE WHEN regexp_full_match(text, '[0-9]{1,4}') THEN text::BIGINT END
