-- doubt_days: of each worker and day what the entries that stand come to, to find the few that are worth a look.
-- In:  $batch BIGINT, the days about those of its entries, null for all; $naming VARCHAR, the pattern of notes that may name a change, null where there is none; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; ms BIGINT, milliseconds of the entries above 0; least_ms BIGINT; entries BIGINT; first_batch BIGINT; is_of_batch BOOLEAN, has an entry of it, or all are asked for; is_equal_work BOOLEAN, two may be of one duration and code; is_equal_line BOOLEAN, two may say the same; on_two_sheets BOOLEAN, may be; is_timed BOOLEAN; is_timed_twice BOOLEAN, the times of two entries may overlap, or one passes midnight; is_past_midnight BOOLEAN; is_apart BOOLEAN, hours of one are not those of its times; has_rework BOOLEAN; names_change BOOLEAN, a note may
WITH of_batch AS (
    SELECT worker_id, min(day) - 31 AS first_day, max(day) + 31 AS last_day
    FROM entry_time($upto)
    WHERE batch = $batch::BIGINT
    GROUP BY worker_id
),

-- What was erased is like any.
erased_note AS (
    SELECT fact_batch, fact_row
    FROM known_erasure($upto)
    WHERE table_name = 'note'
),

-- Of a batch its own notes alone: those before it were looked at with theirs.
naming_note AS (
    SELECT batch, row
    FROM known_note($upto)
    WHERE ($batch::BIGINT IS NULL OR batch = $batch::BIGINT) AND regexp_matches(note, $naming::VARCHAR, 'i')
),

standing AS (
    SELECT
        e.*,
        n.row IS NOT NULL OR coalesce(regexp_matches(e.own_note, $naming::VARCHAR, 'i'), false) AS is_naming,
        hash(e.ms, e.booking_code) AS work_hash,
        hash(e.ms, e.booking_code, e.sheet, CASE WHEN x.fact_row IS NULL THEN e.note_row END) AS line_hash,
        e.finish_time <= e.start_time AS is_past_midnight,
        CASE WHEN e.finish_time IS NOT NULL THEN minute_of_day(e.start_time) END AS start_min,
        CASE WHEN e.start_time IS NOT NULL THEN minute_of_day(e.finish_time) END AS finish_min
    FROM plain_entry($upto) AS e
    LEFT JOIN erased_note AS x ON x.fact_batch = e.batch AND x.fact_row = e.note_row
    LEFT JOIN naming_note AS n ON n.batch = e.batch AND n.row = e.note_row
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    LEFT JOIN of_batch AS o ON o.worker_id = e.worker_id
    WHERE $batch::BIGINT IS NULL OR e.day BETWEEN o.first_day AND o.last_day
),

clocked AS (
    SELECT
        *,
        (finish_min - start_min - coalesce(break_minutes, 0)
            + CASE WHEN is_past_midnight THEN 1440 ELSE 0 END) * 60000 AS clocked_ms,
        -- The quarters of an hour that it touches, a bit each.
        CASE WHEN finish_min > start_min
            THEN (1::HUGEINT << ((finish_min + 14) // 15)::HUGEINT) - (1::HUGEINT << (start_min // 15)::HUGEINT)
        END AS quarters
    FROM standing
)

-- Equal ones set the same bit of 64; where as many bits are set as there are entries, none are equal.
SELECT
    worker_id,
    day,
    coalesce(sum(ms) FILTER (WHERE ms > 0), 0)::BIGINT AS ms,
    min(ms) AS least_ms,
    count(*) AS entries,
    min(batch) AS first_batch,
    $batch::BIGINT IS NULL OR bool_or(batch = $batch::BIGINT) AS is_of_batch,
    bit_count(bit_or(1::UBIGINT << (work_hash % 64))) < count(*)
        AND bit_count(bit_or(1::UBIGINT << ((work_hash >> 32) % 64))) < count(*) AS is_equal_work,
    -- Lines of one batch with the same note name the same row of it; of others the notes are not looked at.
    CASE WHEN min(batch) = max(batch) AND count(own_note) = 0
        THEN bit_count(bit_or(1::UBIGINT << (line_hash % 64))) < count(*)
            AND bit_count(bit_or(1::UBIGINT << ((line_hash >> 32) % 64))) < count(*)
        ELSE is_equal_work
    END AS is_equal_line,
    count(*) > 1 AND (count(sheet) < count(*) OR min(sheet) <> max(sheet)) AS on_two_sheets,
    count(start_time) + count(finish_time) > 0 AS is_timed,
    -- Where no quarter is touched twice, no times overlap.
    coalesce(bit_count(bit_or(quarters)) < sum(bit_count(quarters)) OR bool_or(is_past_midnight), false)
        AS is_timed_twice,
    coalesce(bool_or(is_past_midnight), false) AS is_past_midnight,
    coalesce(bool_or(clocked_ms <> ms), false) AS is_apart,
    count(rework) > 0 AS has_rework,
    bool_or(is_naming) AS names_change
FROM clocked
GROUP BY worker_id, day
ORDER BY day, worker_id
