-- invoice_lines: the lines of the invoices and credit notes of a job, as they were issued.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: document VARCHAR; claim_kind VARCHAR; item VARCHAR; change VARCHAR; description VARCHAR; quantity DECIMAL(38,6); unit VARCHAR; unit_price DECIMAL(38,6); to_date DECIMAL(38,4); before DECIMAL(38,4); amount DECIMAL(38,4); tax_category VARCHAR; tax_rate DECIMAL(38,6), percent
SELECT
    l.document,
    l.claim_kind,
    l.item,
    l.change,
    l.description,
    l.quantity,
    l.unit,
    l.unit_price,
    l.to_date,
    l.before,
    l.amount,
    l.tax_category,
    l.tax_rate
FROM known_document_line($upto) AS l
SEMI JOIN known_document($upto) AS d
    ON d.document = l.document AND d.kind IN ('invoice', 'credit_note') AND d.job = $job
ORDER BY l.batch, l.row
