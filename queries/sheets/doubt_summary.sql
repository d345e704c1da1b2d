-- doubt_summary: all doubts with name, severity and where to look; the settled ones say by whom and why.
-- In:  $kinds VARCHAR[]; $severities VARCHAR[], of each kind, off leaves it out; $upto BIGINT, the last batch that counts
-- Out: doubt VARCHAR, its id; severity VARCHAR; kind VARCHAR; worker_id VARCHAR; day DATE; jobs VARCHAR[]; workers VARCHAR[]; entries VARCHAR[], as batch.row; file VARCHAR, of the newest entry; line BIGINT, of the newest entry; message VARCHAR; about VARCHAR; settled_by VARCHAR; settled_at TIMESTAMP, UTC; reason VARCHAR
WITH severity AS (
    SELECT unnest($kinds::VARCHAR[]) AS kind, unnest($severities::VARCHAR[]) AS severity
),

named AS (
    SELECT r.*, s.severity, left(md5(r.kind || ' ' || r.about), 10) AS doubt
    FROM staged_doubt_raised AS r
    INNER JOIN severity AS s ON s.kind = r.kind
    WHERE s.severity <> 'off'
),

of_entry AS (
    SELECT n.doubt, e.entry, e.batch, e.row, e.worker_id, e.file, e.line
    FROM (SELECT doubt, unnest(entries) AS entry FROM named) AS n
    INNER JOIN staged_doubt_entry AS e ON e.entry = n.entry
),

located AS (
    SELECT
        doubt,
        max(batch) AS newest_batch,
        arg_max(file, (batch, row)) AS file,
        arg_max(line, (batch, row)) AS line,
        list(DISTINCT worker_id ORDER BY worker_id) AS workers
    FROM of_entry
    GROUP BY doubt
),

of_job AS (
    SELECT o.doubt, list(DISTINCT p.job ORDER BY p.job) AS jobs
    FROM of_entry AS o
    INNER JOIN staged_doubt_place AS p ON p.entry = o.entry
    WHERE p.job IS NOT NULL
    GROUP BY o.doubt
),

settled AS (
    SELECT d.kind, d.about, d.reason, b.actor, b.recorded_at
    FROM current_doubt_settled($upto) AS d
    INNER JOIN known_batch($upto) AS b ON b.sequence = d.batch
    WHERE d.settled
)

SELECT
    n.doubt,
    n.severity,
    n.kind,
    n.worker_id,
    n.day,
    coalesce(j.jobs, []) AS jobs,
    coalesce(l.workers, [n.worker_id]) AS workers,
    n.entries,
    l.file,
    l.line,
    n.message,
    n.about,
    t.actor AS settled_by,
    t.recorded_at AS settled_at,
    t.reason
FROM named AS n
LEFT JOIN located AS l ON l.doubt = n.doubt
LEFT JOIN of_job AS j ON j.doubt = n.doubt
LEFT JOIN settled AS t ON t.kind = n.kind AND t.about = n.about
ORDER BY n.severity DESC, l.newest_batch DESC NULLS LAST, n.day DESC, n.kind, n.worker_id, n.doubt
