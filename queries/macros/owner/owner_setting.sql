-- owner_setting: the yard's own particulars, and whether the book is a rehearsal.
CREATE MACRO owner_setting(upto) AS TABLE
SELECT name, value
FROM current_setting(upto)
WHERE name LIKE 'yard.%' OR name = 'book.rehearsal'
