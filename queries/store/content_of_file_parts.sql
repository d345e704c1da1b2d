-- content_of_file_parts: the content of parts of files, and all parts of files that have it; of a file that is not cut by lines all parts.
-- In:  $batches BIGINT[]; $rows BIGINT[]; $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT
WITH asked AS (
    SELECT p.sha256
    FROM known_file_part($upto) AS p
    SEMI JOIN (SELECT unnest($batches::BIGINT[]) AS batch, unnest($rows::BIGINT[]) AS row) AS g
        ON g.batch = p.batch AND g.row = p.row
    WHERE p.sha256 IS NOT NULL
),

-- A stump of such a file can be read no more.
fallen AS (
    SELECT DISTINCT batch, file_row
    FROM known_file_part($upto)
    WHERE first_line IS NULL AND sha256 IN (SELECT sha256 FROM asked)
),

named AS (
    SELECT sha256
    FROM asked
    UNION
    SELECT p.sha256
    FROM known_file_part($upto) AS p
    SEMI JOIN fallen AS f ON f.batch = p.batch AND f.file_row = p.file_row
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
