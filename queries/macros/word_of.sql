-- word_of: a word folded as domain/codes.py does, of a text that is trimmed.
CREATE MACRO word_of(text) AS
nfc_normalize(lower(nfc_normalize(text)))
