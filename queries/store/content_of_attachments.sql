-- content_of_attachments: the bytes of files attached, by the rows of these, that nothing else has.
-- In:  $batches BIGINT[]; $rows BIGINT[]; $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT
WITH asked AS (
    SELECT unnest($batches::BIGINT[]) AS batch, unnest($rows::BIGINT[]) AS row
),

named AS (
    SELECT a.sha256
    FROM known_attachment($upto) AS a
    SEMI JOIN asked AS g ON g.batch = a.batch AND g.row = a.row
),

others AS (
    SELECT a.sha256
    FROM known_attachment($upto) AS a
    ANTI JOIN asked AS g ON g.batch = a.batch AND g.row = a.row
    UNION ALL
    SELECT sha256
    FROM known_document($upto)
    UNION ALL
    SELECT sha256
    FROM known_file_part($upto)
)

SELECT 'content' AS table_name, c.batch, c.row
FROM known_content($upto) AS c
SEMI JOIN named AS n ON n.sha256 = c.sha256
ANTI JOIN others AS o ON o.sha256 = c.sha256
ORDER BY c.batch, c.row
