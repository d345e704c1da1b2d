-- doubts_by_file: the doubts named, one row for those of one kind and file, the gravest first.
-- In:  $doubts VARCHAR[], their ids
-- Out: severity VARCHAR; kind VARCHAR; file VARCHAR; doubts BIGINT; ms DECIMAL(38,0), milliseconds of their entries, each counted once; entries VARCHAR[], the first three; entries_in_all BIGINT; message VARCHAR, of the first doubt
WITH named AS (
    SELECT doubt, severity, kind, file, day, worker_id, entries, message
    FROM staged_doubt
    WHERE doubt IN (SELECT unnest($doubts::VARCHAR[]))
),

counted AS (
    SELECT severity, kind, file, count(*) AS doubts, arg_min(message, (day, worker_id, doubt)) AS message
    FROM named
    GROUP BY severity, kind, file
),

of_entry AS (
    SELECT DISTINCT n.severity, n.kind, n.file, e.entry, e.batch, e.row, e.ms
    FROM (SELECT severity, kind, file, unnest(entries) AS entry FROM named) AS n
    INNER JOIN staged_doubt_entry AS e ON e.entry = n.entry
),

summed AS (
    SELECT
        severity,
        kind,
        file,
        sum(ms)::DECIMAL(38,0) AS ms,
        count(*) AS entries_in_all,
        min((batch, row, entry), 3) AS least
    FROM of_entry
    GROUP BY severity, kind, file
)

SELECT
    c.severity,
    c.kind,
    c.file,
    c.doubts,
    coalesce(s.ms, 0)::DECIMAL(38,0) AS ms,
    [each[3] FOR each IN coalesce(s.least, [])] AS entries,
    coalesce(s.entries_in_all, 0) AS entries_in_all,
    c.message
FROM counted AS c
LEFT JOIN summed AS s
    ON s.severity = c.severity AND s.kind = c.kind AND s.file IS NOT DISTINCT FROM c.file
ORDER BY c.severity DESC, c.doubts DESC, c.kind, c.file
