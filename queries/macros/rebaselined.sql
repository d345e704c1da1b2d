-- rebaselined: the named baseline changes, each with its day and its place in the recorded order.
CREATE MACRO rebaselined(upto) AS TABLE
SELECT job, name, min(day) AS day, max(place_batch) AS place
FROM current_baseline_change(upto)
GROUP BY job, name
