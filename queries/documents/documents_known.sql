-- documents_known: the documents issued, in the order they were.
-- In:  $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; kind VARCHAR; job VARCHAR; change VARCHAR; revision BIGINT; day_from DATE; day_to DATE; mark VARCHAR; series VARCHAR; number BIGINT; document VARCHAR, the number as printed; issued_on DATE; prepared_by VARCHAR; known_at BIGINT, the batch its page was known at; content_digest VARCHAR; sha256 VARCHAR, null once erased; retain_until DATE; claim BIGINT, that an invoice bills; credits VARCHAR, the invoice that a credit note credits; due_on DATE; particulars VARCHAR, JSON, null once erased; media_type VARCHAR; byte_count BIGINT
SELECT
    'document:' || d.batch || '.' || d.row AS id,
    d.kind,
    d.job,
    d.change,
    d.revision,
    d.day_from,
    d.day_to,
    d.mark,
    d.series,
    d.number,
    d.document,
    d.issued_on,
    d.prepared_by,
    d.known_at,
    d.content_digest,
    d.sha256,
    d.retain_until,
    d.claim,
    d.credits,
    d.due_on,
    d.particulars,
    c.media_type,
    c.byte_count
FROM known_document($upto) AS d
LEFT JOIN current_content($upto) AS c ON c.sha256 = d.sha256
ORDER BY d.batch, d.row
