-- code_of: a code folded as domain/codes.py does, of a text that is trimmed.
CREATE MACRO code_of(text) AS
nfc_normalize(upper(nfc_normalize(text)))
