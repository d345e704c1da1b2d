-- content_of_documents: the bytes of documents, by the rows of these.
-- In:  $batches BIGINT[]; $rows BIGINT[]; $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT
SELECT 'content' AS table_name, c.batch, c.row
FROM known_document($upto) AS d
SEMI JOIN (SELECT unnest($batches::BIGINT[]) AS batch, unnest($rows::BIGINT[]) AS row) AS g
    ON g.batch = d.batch AND g.row = d.row
INNER JOIN known_content($upto) AS c ON c.sha256 = d.sha256
ORDER BY c.batch, c.row
