-- job.2: the sealed text of each row of job, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(title_hash),
        sealed(owner_hash),
        sealed(contract_sum),
        sealed(contract_date),
        sealed(planned_start),
        sealed(planned_finish),
        sealed(contract_basis),
        sealed(working_week),
        sealed(days_off),
        sealed(days_on),
        sealed(holidays),
        sealed(management_reserve_ms),
        sealed(owner_sees_overrun),
        sealed(key_dates),
        sealed(completion_date),
        sealed(days),
        sealed(silence_confirms_days),
        sealed(authority_hash),
        sealed(daywork),
        sealed(provisional_sums),
        sealed(omissions_carry_additions),
        sealed(notice_limits),
        sealed(certificate),
        sealed(omissions_credited),
        sealed(delivered_on),
        sealed(defects_end_on),
        sealed(stage_payments),
        sealed(retention),
        sealed(advance),
        sealed(language),
        sealed(owner_party_hash),
        sealed(invoice_hash)
    ) AS sealed_text
FROM stored_job($upto)
WHERE batch >= $since
ORDER BY batch, row
