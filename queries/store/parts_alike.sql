-- parts_alike: the content of parts of files, and all parts of files that have it.
-- In:  $batches BIGINT[]; $rows BIGINT[]; $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT
WITH named AS (
    SELECT p.sha256
    FROM known_file_part($upto) AS p
    SEMI JOIN (SELECT unnest($batches::BIGINT[]) AS batch, unnest($rows::BIGINT[]) AS row) AS g
        ON g.batch = p.batch AND g.row = p.row
    WHERE p.sha256 IS NOT NULL
)

SELECT 'content' AS table_name, batch, row
FROM known_content($upto)
WHERE sha256 IN (SELECT sha256 FROM named)
UNION ALL
SELECT 'file_part' AS table_name, batch, row
FROM known_file_part($upto)
WHERE sha256 IN (SELECT sha256 FROM named)
ORDER BY table_name, batch, row
