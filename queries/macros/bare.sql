-- bare: a text without white space around it, of any kind that Unicode has; null when nothing is left.
CREATE MACRO bare(text) AS
-- Most texts begin and end with a visible letter of ASCII; that is seen sooner than trimmed.
CASE WHEN text >= '!' AND text < chr(127) AND right(text, 1) BETWEEN '!' AND '~' THEN text
    ELSE nullif(trim(text, chr(9) || chr(10) || chr(11) || chr(12) || chr(13) || chr(28) || chr(29) || chr(30) || chr(31) || chr(32) || chr(133) || chr(160) || chr(5760) || chr(8192) || chr(8193) || chr(8194) || chr(8195) || chr(8196) || chr(8197) || chr(8198) || chr(8199) || chr(8200) || chr(8201) || chr(8202) || chr(8232) || chr(8233) || chr(8239) || chr(8287) || chr(12288)), '') END
