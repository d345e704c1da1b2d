-- closed_entry: entries that were in the book when the period of their day was closed.
CREATE MACRO closed_entry(upto) AS TABLE
SELECT batch, row
FROM entry_time(upto) AS e
SEMI JOIN current_closing(upto) AS c ON c.closed_to >= e.day AND c.sequence >= e.batch
