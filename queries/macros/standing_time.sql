-- standing_time: time of entries where it stands, each with its sheet line; what was reversed, and its reversal, stand no more.
CREATE MACRO standing_time(upto) AS TABLE
SELECT p.entry_batch, p.entry_row, e.line_batch, e.line_row, p.job, p.booked_to, p.rework, sum(p.ms) AS ms
FROM known_posting(upto) AS p
INNER JOIN entry_time(upto) AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
ANTI JOIN fixed_entry(upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
GROUP BY ALL
HAVING sum(p.ms) <> 0
