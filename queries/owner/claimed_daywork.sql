-- claimed_daywork: the hours behind the daywork of a claim: what it took up of each entry, and of the daywork sheet that the owner agreed them on.
-- In:  $job VARCHAR; $document VARCHAR, the claim; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; day DATE; worker BIGINT, the number on the sheet, without a sheet that of the change; trade VARCHAR, null of a worker who is not in the crew; ms BIGINT, milliseconds, below 0 where they are given back; daywork_sheet VARCHAR, null without one
WITH claimed AS (
    SELECT change, day, worker, trade, entry_batch, entry_row, ms
    FROM owner_claimed_hours($upto)
    WHERE job = $job AND document = $document
),

sheet AS (
    SELECT change, daywork_sheet, day_from, day_to, first_batch, first_row
    FROM owner_daywork_sheet($upto)
    WHERE job = $job AND mark = 'agreed'
),

-- The sheet that was marked first of those that have the day.
found AS (
    SELECT c.*, s.daywork_sheet
    FROM claimed AS c
    LEFT JOIN sheet AS s ON s.change = c.change AND c.day BETWEEN s.day_from AND s.day_to
    QUALIFY row_number() OVER (
        PARTITION BY c.change, c.entry_batch, c.entry_row, c.ms
        ORDER BY s.first_batch, s.first_row
    ) = 1
),

-- Workers are numbered from 1 on each sheet, as they are where it is issued.
numbered AS (
    SELECT
        change, daywork_sheet, worker,
        dense_rank() OVER (PARTITION BY change, daywork_sheet ORDER BY worker) AS number
    FROM (
        SELECT DISTINCT s.change, s.daywork_sheet, w.worker
        FROM sheet AS s
        INNER JOIN owner_worked_trades($upto) AS w
            ON w.job = $job AND w.change = s.change AND w.day BETWEEN s.day_from AND s.day_to
    )
)

SELECT
    f.change,
    f.day,
    coalesce(n.number, f.worker) AS worker,
    f.trade,
    f.ms,
    f.daywork_sheet
FROM found AS f
LEFT JOIN numbered AS n USING (change, daywork_sheet, worker)
ORDER BY f.change, f.daywork_sheet, f.day, worker, f.trade, f.entry_batch, f.entry_row, f.ms
