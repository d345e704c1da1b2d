-- doubts_counted: the kinds of the doubts that entries of a batch raise and nobody settled, a row a doubt, the gravest first and of these the newest.
-- In:  $kinds VARCHAR[]; $severities VARCHAR[], of each kind, off leaves it out; $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: kind VARCHAR; severity VARCHAR
WITH severity AS (
    SELECT unnest($kinds::VARCHAR[]) AS kind, unnest($severities::VARCHAR[]) AS severity
),

named AS (
    SELECT
        r.kind,
        r.about,
        r.worker_id,
        r.day,
        s.severity,
        list_transform(r.entries, lambda entry: split_part(entry, '.', 1)::BIGINT) AS batches
    FROM staged_doubt_raised AS r
    INNER JOIN severity AS s ON s.kind = r.kind
    WHERE s.severity <> 'off'
)

SELECT n.kind, n.severity
FROM named AS n
ANTI JOIN (SELECT kind, about FROM current_doubt_settled($upto) WHERE settled) AS t
    ON t.kind = n.kind AND t.about = n.about
WHERE list_contains(n.batches, $batch::BIGINT)
ORDER BY
    n.severity DESC,
    list_max(n.batches) DESC NULLS LAST,
    n.day DESC,
    n.kind,
    n.worker_id,
    left(md5(n.kind || ' ' || n.about), 10)
