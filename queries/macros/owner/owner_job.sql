-- owner_job: jobs, as their owners know them.
CREATE MACRO owner_job(upto) AS TABLE
SELECT
    job, title, owner, contract_sum, contract_date, contract_basis, owner_sees_overrun,
    completion_date, days, authority, silence_confirms_days, language, owner_party, invoice
FROM current_job(upto)
