-- owner_logo: the yard's picture.
CREATE MACRO owner_logo(upto) AS TABLE
SELECT sha256, media_type, data
FROM current_content(upto)
WHERE sha256 IN (SELECT value FROM current_setting(upto) WHERE name = 'yard.logo')
