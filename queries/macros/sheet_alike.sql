-- sheet_alike: a name of a sheet, alike for names that differ in case or in how letters are composed.
CREATE MACRO sheet_alike(sheet) AS
lower(nfc_normalize(sheet))
