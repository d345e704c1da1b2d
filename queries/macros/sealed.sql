-- sealed: a field of a sealed row: its length in bytes and its text, -: for null.
CREATE MACRO sealed(field) AS
CASE WHEN field IS NULL THEN '-:' ELSE strlen(field) || ':' || field END
