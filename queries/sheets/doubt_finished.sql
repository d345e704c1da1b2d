-- doubt_finished: the packages of which all was measured as done, and since when.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; work_package VARCHAR; finished_on DATE
WITH part AS (
    SELECT job, work_package, trade, any_value(quantity) AS quantity
    FROM planned_package($upto)
    GROUP BY job, work_package, trade
),

milestones AS (
    SELECT job, work_package, count(*) AS in_all
    FROM planned_milestone($upto)
    GROUP BY job, work_package
),

measured AS (
    SELECT
        a.job,
        a.work_package,
        a.trade,
        s.in_all,
        p.day,
        p.finished,
        p.milestone,
        CASE
            WHEN p.percent IS NOT NULL THEN p.percent = 100
            WHEN p.quantity_done IS NOT NULL
                THEN p.quantity_done >= greatest(a.quantity, coalesce(p.quantity_at_completion, a.quantity))
        END AS is_done
    FROM part AS a
    LEFT JOIN current_progress($upto) AS p
        ON p.job = a.job
        AND p.work_package = a.work_package
        AND (p.trade IS NULL OR p.trade = a.trade)
    LEFT JOIN milestones AS s ON s.job = a.job AND s.work_package = a.work_package
),

followed AS (
    SELECT *, max(day) FILTER (NOT is_done) OVER (PARTITION BY job, work_package, trade) AS last_undone
    FROM measured
),

-- By its measure, by all its milestones or by word, whichever is first.
part_done AS (
    SELECT
        job,
        work_package,
        least(
            min(day) FILTER (is_done AND (last_undone IS NULL OR day > last_undone)),
            CASE WHEN count(DISTINCT milestone) = any_value(in_all) THEN max(day) FILTER (milestone IS NOT NULL) END,
            arg_max(finished, day) FILTER (finished IS NOT NULL)
        ) AS finished_on
    FROM followed
    GROUP BY job, work_package, trade
)

SELECT job, work_package, max(finished_on) AS finished_on
FROM part_done
GROUP BY job, work_package
HAVING count(*) = count(finished_on)
ORDER BY job, work_package
