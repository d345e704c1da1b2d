-- owner_change_hours: the hours that approvals, omissions and stops brought into the plan.
CREATE MACRO owner_change_hours(upto) AS TABLE
SELECT job, reference AS change, ms, counts_from
FROM known_budget_posting(upto)
WHERE source IN ('approval', 'omission', 'stop')
