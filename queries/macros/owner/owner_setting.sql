-- owner_setting: the yard's own particulars, and whether the book is a rehearsal.
CREATE MACRO owner_setting(upto) AS TABLE
SELECT name, value
FROM current_setting(upto)
WHERE
    name = 'book.rehearsal'
    OR split_part(name, '.', 1) IN ('yard', 'bank_account', 'tax_categories', 'exchange_rates')
