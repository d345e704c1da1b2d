-- file_parts_astray: parts of files that are not numbered from 1 on, or whose content is not kept.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
WITH kept AS (
    SELECT sha256
    FROM known_content($upto)
    WHERE sha256 IS NOT NULL
),

parts AS (
    SELECT
        batch,
        row,
        sha256,
        part <> row_number() OVER (PARTITION BY batch, file_row ORDER BY row) AS is_astray
    FROM known_file_part($upto)
)

SELECT p.batch, p.row
FROM parts AS p
WHERE p.is_astray OR (p.sha256 IS NOT NULL AND p.sha256 NOT IN (SELECT sha256 FROM kept))
ORDER BY p.batch, p.row
