-- invoices_issued: the invoices and credit notes of a job, in the order they were issued.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: document VARCHAR, its number; kind VARCHAR, invoice or credit_note; claim BIGINT, the n-th of the job, null of an advance; credits VARCHAR, the invoice that a credit note credits; mark VARCHAR, advance, final or null; issued_on DATE; due_on DATE; currency VARCHAR; particulars VARCHAR, JSON, null once erased; day_from DATE; day_to DATE, of the work; known_at BIGINT, the batch its page was known at
SELECT
    document,
    kind,
    claim,
    credits,
    mark,
    issued_on,
    due_on,
    currency,
    particulars,
    day_from,
    day_to,
    known_at
FROM known_document($upto)
WHERE kind IN ('invoice', 'credit_note') AND job = $job
ORDER BY batch, row
