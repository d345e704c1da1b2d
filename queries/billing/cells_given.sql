-- cells_given: daywork that a claim takes up, as worked out: of a worker's day in a trade so much for a line.
-- In:  $places VARCHAR[]; $workers VARCHAR[]; $days DATE[]; $trades VARCHAR[]; $positions BIGINT[]; $ms BIGINT[], milliseconds; a list each, equally long
-- Out: booked_to VARCHAR, the change; worker_id VARCHAR; day DATE; trade VARCHAR; position BIGINT, of the line; ms BIGINT, milliseconds
SELECT
    unnest($places::VARCHAR[]) AS booked_to,
    unnest($workers::VARCHAR[]) AS worker_id,
    unnest($days::DATE[]) AS day,
    unnest($trades::VARCHAR[]) AS trade,
    unnest($positions::BIGINT[]) AS position,
    unnest($ms::BIGINT[]) AS ms
ORDER BY booked_to, day, worker_id, trade, position
