-- batch_newest: the newest batch, and whether the book is a rehearsal, which its first batch says.
-- In:  none
-- Out: sequence BIGINT; head VARCHAR, hex; recorded_at TIMESTAMP, UTC; rehearsal BOOLEAN
SELECT
    sequence,
    head,
    recorded_at,
    EXISTS (
        FROM known_setting(1)
        WHERE name = 'book.rehearsal' AND value = 'yes'
    ) AS rehearsal
FROM known_batch(9223372036854775807)
ORDER BY sequence DESC
LIMIT 1
