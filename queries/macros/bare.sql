-- bare: a text without white space around it, of any kind that Unicode has; null when nothing is left.
CREATE MACRO bare(text) AS
-- The blanks are one literal, in bytes of UTF-8: joined of 29 they took longer to plan than the rest
-- of a query. Most texts begin and end with a visible letter of ASCII; that is seen
-- sooner than trimmed.
CASE WHEN text >= '!' AND text < chr(127) AND right(text, 1) BETWEEN '!' AND '~' THEN text
    ELSE nullif(trim(text, E'\x09\x0a\x0b\x0c\x0d\x1c\x1d\x1e\x1f\x20\xc2\x85\xc2\xa0\xe1\x9a\x80\xe2\x80\x80\xe2\x80\x81\xe2\x80\x82\xe2\x80\x83\xe2\x80\x84\xe2\x80\x85\xe2\x80\x86\xe2\x80\x87\xe2\x80\x88\xe2\x80\x89\xe2\x80\x8a\xe2\x80\xa8\xe2\x80\xa9\xe2\x80\xaf\xe2\x81\x9f\xe3\x80\x80'), '') END
