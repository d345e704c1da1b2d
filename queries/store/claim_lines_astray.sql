-- claim_lines_astray: lines, time and certificates that do not fit the claim or invoice that they are of.
-- In:  $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT
WITH claim AS (
    SELECT
        document, job, batch,
        row_number() OVER (PARTITION BY job ORDER BY batch, row) AS number
    FROM known_document($upto)
    WHERE kind = 'claim'
),

-- What has lines besides a claim.
invoice AS (
    SELECT document, batch
    FROM known_document($upto)
    WHERE kind IN ('invoice', 'credit_note')
),

line AS (
    SELECT
        l.batch, l.row, l.document, l.position, l.item, c.job, c.number,
        (c.document IS NULL AND i.document IS NULL)
        OR (i.document IS NULL) <> (l.tax_category IS NULL)
        OR l.amount <> l.to_date - l.before
        OR l.position <> row_number() OVER (PARTITION BY l.document ORDER BY l.batch, l.row)
            AS is_astray
    FROM known_document_line($upto) AS l
    LEFT JOIN claim AS c ON c.document = l.document AND c.batch = l.batch
    LEFT JOIN invoice AS i ON i.document = l.document AND i.batch = l.batch
),

-- What is taken up is of a line of the claim; what is given back is of none. It is recorded with
-- its claim, or later as certificates are recorded or withdrawn.
certifying AS (
    SELECT batch FROM known_certified($upto)
    UNION
    SELECT batch FROM known_withdrawal($upto)
),

posting AS (
    SELECT
        p.batch, p.row,
        c.document IS NULL
        OR c.batch <> p.batch AND p.batch NOT IN (SELECT batch FROM certifying)
        OR (p.position IS NULL) <> (p.ms < 0)
        OR (p.position IS NOT NULL AND l.document IS NULL)
            AS is_astray
    FROM known_claim_posting($upto) AS p
    LEFT JOIN claim AS c ON c.document = p.document AND c.batch <= p.batch AND c.job = p.job
    LEFT JOIN line AS l ON l.document = p.document AND l.position = p.position
),

certificate AS (
    SELECT k.batch, k.row
    FROM known_certified($upto) AS k
    ANTI JOIN line AS l ON l.job = k.job AND l.number = k.claim AND l.item = k.item
)

SELECT 'document_line' AS table_name, batch, row FROM line WHERE is_astray
UNION ALL
SELECT 'claim_posting' AS table_name, batch, row FROM posting WHERE is_astray
UNION ALL
SELECT 'certified' AS table_name, batch, row FROM certificate
ORDER BY table_name, batch, row
