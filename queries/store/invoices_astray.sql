-- invoices_astray: invoices without their claim, and credit notes that do not fit the invoice that they credit.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
WITH document AS (
    SELECT batch, row, kind, job, document, claim, credits, mark, issued_on, due_on, series
    FROM known_document($upto)
),

claim AS (
    SELECT
        job, batch,
        row_number() OVER (PARTITION BY job ORDER BY batch, row) AS number
    FROM document
    WHERE kind = 'claim'
),

amount AS (
    SELECT document, sum(amount) AS net
    FROM known_document_line($upto)
    GROUP BY document
),

invoice AS (
    SELECT
        d.batch, d.row, d.document, d.job, a.net,
        a.net IS NULL
        OR a.net <= 0
        OR (d.claim IS NULL) <> (coalesce(d.mark, '') = 'advance')
        OR (d.claim IS NOT NULL AND c.number IS NULL)
        OR d.due_on < d.issued_on
            AS is_astray
    FROM document AS d
    LEFT JOIN claim AS c ON c.job = d.job AND c.number = d.claim AND c.batch < d.batch
    LEFT JOIN amount AS a ON a.document = d.document
    WHERE d.kind = 'invoice'
),

credit AS (
    SELECT
        d.batch, d.row,
        i.document IS NULL
        OR a.net IS DISTINCT FROM i.net
        OR count(*) OVER (PARTITION BY d.credits) > 1
            AS is_astray
    FROM document AS d
    LEFT JOIN invoice AS i ON i.document = d.credits AND i.job = d.job AND i.batch < d.batch
    LEFT JOIN amount AS a ON a.document = d.document
    WHERE d.kind = 'credit_note'
),

-- Numbers and dates go forward together.
dated AS (
    SELECT
        batch, row,
        issued_on < lag(issued_on) OVER (PARTITION BY series ORDER BY batch, row) AS is_astray
    FROM document
    WHERE kind IN ('invoice', 'credit_note')
)

SELECT batch, row FROM invoice WHERE is_astray
UNION
SELECT batch, row FROM credit WHERE is_astray
UNION
SELECT batch, row FROM dated WHERE is_astray
ORDER BY batch, row
