-- change_lines: the price lines of a job's changes by revision.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; revision BIGINT; position BIGINT; price_kind VARCHAR; description VARCHAR; trade VARCHAR; grade VARCHAR; ms BIGINT, milliseconds; quantity DECIMAL(38,6); unit VARCHAR; unit_price DECIMAL(38,4); work_package VARCHAR; planned_start DATE; planned_finish DATE; technique VARCHAR; addition_percent DECIMAL(38,6); addition_on VARCHAR; addition_of VARCHAR, kinds with commas between; addition_method VARCHAR; provisional_sum VARCHAR; owner_text VARCHAR
SELECT
    change,
    revision,
    position,
    price_kind,
    description,
    trade,
    grade,
    ms,
    quantity,
    unit,
    unit_price,
    work_package,
    planned_start,
    planned_finish,
    technique,
    addition_percent,
    addition_on,
    addition_of,
    addition_method,
    provisional_sum,
    owner_text
FROM owner_change_line($upto)
WHERE job = $job
ORDER BY change, revision, position
