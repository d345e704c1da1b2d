-- content_retained: rows that hold a document, or a reply to one, and the day until which they must be kept.
-- In:  $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT; document VARCHAR; retain_until DATE
WITH document AS (FROM known_document($upto)),

reply AS (
    SELECT a.batch, a.row, a.sha256, d.document, d.retain_until
    FROM known_sending($upto) AS s
    INNER JOIN known_attachment($upto) AS a ON a.batch = s.attached_batch AND a.row = s.attached_row
    INNER JOIN document AS d ON d.document = s.document
),

kept AS (
    SELECT sha256, document, retain_until
    FROM document
    UNION
    SELECT sha256, document, retain_until
    FROM reply
)

SELECT 'document' AS table_name, batch, row, document, retain_until
FROM document
UNION ALL
SELECT 'attachment' AS table_name, batch, row, document, retain_until
FROM reply
UNION ALL
SELECT 'content' AS table_name, c.batch, c.row, k.document, k.retain_until
FROM known_content($upto) AS c
INNER JOIN kept AS k ON k.sha256 = c.sha256
ORDER BY table_name, batch, row, document
