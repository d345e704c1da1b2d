-- certified_postings: the time that is freed of the last claim of a job as its certificate leaves it short, and taken up again once it is certified.
-- In:  $job VARCHAR; $document VARCHAR, the claim; $claim_batch BIGINT, that issued it; $places VARCHAR[]; $items VARCHAR[]; $positions BIGINT[], of each item's first line; $certified BIGINT[]; $claimed BIGINT[], of each item, in cents; a list each, equally long; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; job VARCHAR; booked_to VARCHAR, a change or a package; document VARCHAR; position BIGINT, of the line, null where time is given back; ms BIGINT, milliseconds, signed
WITH place AS (
    SELECT
        unnest($places::VARCHAR[]) AS booked_to,
        unnest($items::VARCHAR[]) AS item,
        unnest($positions::BIGINT[]) AS position,
        unnest($certified::BIGINT[]) AS certified,
        unnest($claimed::BIGINT[]) AS claimed
),

-- What was taken up of each entry once the claim was issued, and what is now.
taken AS (
    SELECT
        p.entry_batch, p.entry_row, l.booked_to, l.item, l.position, l.certified, l.claimed,
        coalesce(sum(p.ms) FILTER (WHERE p.batch <= $claim_batch), 0)::BIGINT AS then_ms,
        sum(p.ms)::BIGINT AS ms
    FROM known_claim_posting($upto) AS p
    INNER JOIN place AS l ON l.booked_to = p.booked_to
    WHERE p.job = $job
    GROUP BY ALL
),

-- The earliest days are certified first; of an item so much as its share in cents.
stretch AS (
    SELECT
        t.*,
        sum(t.then_ms) OVER (
            PARTITION BY t.item
            ORDER BY e.day, t.entry_batch, t.entry_row, t.booked_to
        )::BIGINT AS ends,
        (sum(t.then_ms) OVER (PARTITION BY t.item))::HUGEINT * t.certified // t.claimed AS kept_ms
    FROM taken AS t
    INNER JOIN known_entry($upto) AS e ON e.batch = t.entry_batch AND e.row = t.entry_row
),

target AS (
    SELECT *, greatest(0, least(then_ms, kept_ms - (ends - then_ms)))::BIGINT AS target_ms
    FROM stretch
),

booked AS (
    SELECT p.entry_batch, p.entry_row, p.booked_to, sum(p.ms)::BIGINT AS booked_ms
    FROM known_posting($upto) AS p
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    SEMI JOIN place AS l ON l.booked_to = p.booked_to
    WHERE p.job = $job
    GROUP BY p.entry_batch, p.entry_row, p.booked_to
),

-- Nothing is taken up again beyond what is booked now; an excess waits for the next claim.
moved AS (
    SELECT
        t.*,
        CASE
            WHEN t.target_ms < t.ms THEN t.target_ms - t.ms
            ELSE greatest(0, least(t.target_ms, coalesce(b.booked_ms, 0)) - t.ms)
        END AS moved_ms
    FROM target AS t
    LEFT JOIN booked AS b USING (entry_batch, entry_row, booked_to)
)

SELECT
    entry_batch,
    entry_row,
    $job::VARCHAR AS job,
    booked_to,
    $document::VARCHAR AS document,
    CASE WHEN moved_ms > 0 THEN position END AS position,
    moved_ms::BIGINT AS ms
FROM moved
WHERE moved_ms <> 0
ORDER BY entry_batch, entry_row, booked_to
