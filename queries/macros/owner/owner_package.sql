-- owner_package: the hours of packages by trade, as estimated, and of those that came by a baseline change.
CREATE MACRO owner_package(upto) AS TABLE
SELECT job, work_package, trade, budget_ms FROM current_work_package(upto)
UNION ALL
SELECT p.job, p.work_package, p.trade, p.budget_ms
FROM planned_package(upto) AS p
ANTI JOIN current_work_package(upto) AS w ON w.job = p.job AND w.work_package = p.work_package
