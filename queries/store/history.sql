-- history: every batch with what it added.
-- In:  $upto BIGINT, the last batch that counts
-- Out: sequence BIGINT; recorded_at TIMESTAMP, UTC; actor VARCHAR; command VARCHAR; head VARCHAR; added VARCHAR, rows by table
SELECT
    b.sequence AS sequence,
    b.recorded_at AS recorded_at,
    b.actor AS actor,
    b.command AS command,
    b.head AS head,
    coalesce(string_agg(t.table_name || ' ' || t.row_count, ', ' ORDER BY t.table_name), '') AS added
FROM known_batch($upto) AS b
LEFT JOIN known_batch_table($upto) AS t ON t.sequence = b.sequence
GROUP BY ALL
ORDER BY b.sequence
