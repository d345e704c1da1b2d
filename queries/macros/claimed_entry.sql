-- claimed_entry: entries of which claims to the owner have taken up time.
CREATE MACRO claimed_entry(upto) AS TABLE
SELECT entry_batch AS batch, entry_row AS row
FROM known_claim_posting(upto)
GROUP BY entry_batch, entry_row
HAVING sum(ms) <> 0
