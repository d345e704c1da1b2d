-- payments_astray: payments of what is no invoice issued before them for their job.
-- In:  $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT
SELECT 'payment' AS table_name, p.batch, p.row
FROM known_payment($upto) AS p
LEFT JOIN known_document($upto) AS d
    ON d.document = p.invoice
    AND d.job = p.job
    AND d.kind IN ('invoice', 'credit_note')
    AND d.batch < p.batch
WHERE d.document IS NULL
ORDER BY p.batch, p.row
