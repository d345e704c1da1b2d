-- notes_placed: notes on hours paid and booked that belong to rows asked for, and those of these days that belong to no row.
-- In:  $from DATE; $to DATE, in which periods end that are asked for; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; supplier VARCHAR; period_start DATE; period_end DATE; kind VARCHAR; reason VARCHAR; ms BIGINT, milliseconds, paid less booked; note VARCHAR; is_used BOOLEAN, false where no row has its whole period
WITH placed AS (
    SELECT
        n.worker_id,
        n.supplier,
        n.period_start,
        n.period_end,
        n.kind,
        n.reason,
        n.ms,
        n.note,
        count(s.number) > 0 AS is_used,
        coalesce(bool_or(s.is_asked), false) AS is_asked
    FROM current_payroll_note($upto) AS n
    LEFT JOIN staged_pay_row AS s
        ON s.worker_id IS NOT DISTINCT FROM n.worker_id
        AND (n.worker_id IS NOT NULL OR s.firm = word_of(trim(n.supplier)))
        AND s.kind = n.kind
        AND n.period_start >= s.period_start
        AND n.period_end <= s.period_end
    GROUP BY n.batch, n.row, n.worker_id, n.supplier, n.period_start, n.period_end, n.kind, n.reason, n.ms, n.note
)

SELECT worker_id, supplier, period_start, period_end, kind, reason, ms, note, is_used
FROM placed
WHERE is_asked OR (NOT is_used AND period_end BETWEEN $from::DATE AND $to::DATE)
ORDER BY worker_id, supplier, period_start, period_end, kind, reason
