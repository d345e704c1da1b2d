-- owner_package: hours of packages by trade, for omissions.
CREATE MACRO owner_package(upto) AS TABLE
SELECT job, work_package, trade, budget_ms FROM current_work_package(upto)
