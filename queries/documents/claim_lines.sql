-- claim_lines: the lines of the claims of a job, as they were issued.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: document VARCHAR; claim_kind VARCHAR; change VARCHAR; description VARCHAR; quantity DECIMAL(38,6); unit VARCHAR; unit_price DECIMAL(38,6); to_date DECIMAL(38,4); before DECIMAL(38,4)
SELECT
    l.document,
    l.claim_kind,
    l.change,
    l.description,
    l.quantity,
    l.unit,
    l.unit_price,
    l.to_date,
    l.before
FROM known_document_line($upto) AS l
SEMI JOIN known_document($upto) AS d ON d.document = l.document AND d.kind = 'claim' AND d.job = $job
ORDER BY l.batch, l.row
