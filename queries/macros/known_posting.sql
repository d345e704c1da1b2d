-- known_posting: postings: where booked lines of sheets were booked first, and all that came after.
CREATE MACRO known_posting(upto) AS TABLE
SELECT
    l.batch,
    l.row,
    l.batch AS entry_batch,
    l.row AS entry_row,
    l.worker_id,
    l.day,
    w.trade,
    w.pay_class,
    w.job,
    w.booked_to,
    w.cause,
    w.booked_rework AS rework,
    l.ms,
    w.reason,
    w.rule
FROM line AS l
INNER JOIN what AS w ON w.number = l.what
WHERE l.batch <= upto AND w.booked_to IS NOT NULL
UNION ALL
SELECT *
FROM posting
WHERE batch <= upto
