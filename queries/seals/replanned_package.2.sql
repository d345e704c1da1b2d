-- replanned_package.2: the sealed text of each row of replanned_package, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(name),
        sealed(work_package),
        sealed(title_hash),
        sealed(control_account),
        sealed(trade),
        sealed(budget_ms),
        sealed(planned_start),
        sealed(planned_finish),
        sealed(technique),
        sealed(spread),
        sealed(quantity),
        sealed(unit),
        sealed(start_share),
        sealed(base_package),
        sealed(cost_rate),
        sealed(package_kind),
        sealed(work_kind)
    ) AS sealed_text
FROM stored_replanned_package($upto)
WHERE batch >= $since
ORDER BY batch, row
