-- owner_change: change requests.
CREATE MACRO owner_change(upto) AS TABLE
SELECT
    job, change, title, requested_by, requested_on, change_basis,
    coalesce(origin, 'owner') AS origin,
    description, decision_needed_by, days_requested
FROM current_change(upto)
