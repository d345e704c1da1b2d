-- wholes_given: places whose whole time a claim takes up: changes with a value agreed, packages of a job paid by the hour.
-- In:  $places VARCHAR[]; $positions BIGINT[]; a list each, equally long
-- Out: booked_to VARCHAR; position BIGINT, of the first line of it
SELECT unnest($places::VARCHAR[]) AS booked_to, unnest($positions::BIGINT[]) AS position
ORDER BY booked_to
