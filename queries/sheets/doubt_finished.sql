-- doubt_finished: the packages of which all was measured as done, and since when.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; work_package VARCHAR; finished_on DATE
WITH part AS (
    SELECT job, work_package, trade, any_value(quantity) AS quantity
    FROM current_work_package($upto)
    GROUP BY job, work_package, trade
),

milestones AS (
    SELECT job, work_package, count(*) AS in_all
    FROM current_milestone($upto)
    GROUP BY job, work_package
),

measured AS (
    SELECT
        a.job,
        a.work_package,
        a.trade,
        p.day,
        p.finished,
        p.milestone,
        CASE
            WHEN p.percent IS NOT NULL THEN p.percent = 100
            WHEN p.quantity_done IS NOT NULL
                THEN p.quantity_done >= greatest(a.quantity, coalesce(p.quantity_at_completion, a.quantity))
        END AS is_done
    FROM part AS a
    INNER JOIN current_progress($upto) AS p
        ON p.job = a.job
        AND p.work_package = a.work_package
        AND (p.trade IS NULL OR p.trade = a.trade)
),

last_undone AS (
    SELECT job, work_package, trade, max(day) AS day
    FROM measured
    WHERE NOT is_done
    GROUP BY job, work_package, trade
),

done_by_measure AS (
    SELECT m.job, m.work_package, m.trade, min(m.day) AS finished_on
    FROM measured AS m
    LEFT JOIN last_undone AS u ON u.job = m.job AND u.work_package = m.work_package AND u.trade = m.trade
    WHERE m.is_done AND (u.day IS NULL OR m.day > u.day)
    GROUP BY m.job, m.work_package, m.trade
),

done_by_milestones AS (
    SELECT m.job, m.work_package, m.trade, max(m.day) AS finished_on
    FROM measured AS m
    INNER JOIN milestones AS s ON s.job = m.job AND s.work_package = m.work_package
    WHERE m.milestone IS NOT NULL
    GROUP BY m.job, m.work_package, m.trade, s.in_all
    HAVING count(DISTINCT m.milestone) = s.in_all
),

done_by_word AS (
    SELECT job, work_package, trade, arg_max(finished, day) AS finished_on
    FROM measured
    WHERE finished IS NOT NULL
    GROUP BY job, work_package, trade
),

part_done AS (
    SELECT job, work_package, trade, min(finished_on) AS finished_on
    FROM (
        SELECT job, work_package, trade, finished_on
        FROM done_by_measure
        UNION ALL
        SELECT job, work_package, trade, finished_on
        FROM done_by_milestones
        UNION ALL
        SELECT job, work_package, trade, finished_on
        FROM done_by_word
    )
    GROUP BY job, work_package, trade
),

package_done AS (
    SELECT a.job, a.work_package, max(d.finished_on) AS finished_on
    FROM part AS a
    LEFT JOIN part_done AS d ON d.job = a.job AND d.work_package = a.work_package AND d.trade = a.trade
    GROUP BY a.job, a.work_package
    HAVING count(*) = count(d.finished_on)
)

SELECT d.job, d.work_package, d.finished_on
FROM package_done AS d
ORDER BY d.job, d.work_package
