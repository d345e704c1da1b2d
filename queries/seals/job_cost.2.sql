-- job_cost.2: the sealed text of each row of job_cost, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(day),
        sealed(cost_kind),
        sealed(amount),
        sealed(forecast_remaining),
        sealed(uninstalled)
    ) AS sealed_text
FROM known_job_cost($upto)
WHERE batch >= $since
ORDER BY batch, row
