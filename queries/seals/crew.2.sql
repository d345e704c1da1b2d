-- crew.2: the sealed text of each row of crew, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(worker_id),
        sealed(active_from),
        sealed(active_to),
        sealed(trade),
        sealed(grade),
        sealed(employment),
        sealed(supplier),
        sealed(contract_ms)
    ) AS sealed_text
FROM known_crew($upto)
WHERE batch >= $since
ORDER BY batch, row
