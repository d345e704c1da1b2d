-- fixed_entry: entries whose postings stay where they are: reversals, and what a reversal that stands reverses.
CREATE MACRO fixed_entry(upto) AS TABLE
SELECT batch, row FROM stored_entry(upto) WHERE reverses_batch IS NOT NULL
UNION ALL
SELECT r.reverses_batch AS batch, r.reverses_row AS row
FROM stored_entry(upto) AS r
ANTI JOIN stored_entry(upto) AS u ON u.reverses_batch = r.batch AND u.reverses_row = r.row
WHERE r.reverses_batch IS NOT NULL
