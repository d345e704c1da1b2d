-- sealed: a field of a sealed row as text, U+001E for null.
CREATE MACRO sealed(field) AS
coalesce(field::VARCHAR, chr(30))
