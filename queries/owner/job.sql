-- job: what the owner knows of the job.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; title VARCHAR; owner VARCHAR; contract_sum DECIMAL(38,4); contract_date DATE; contract_basis VARCHAR; owner_sees_overrun BOOLEAN; completion_date DATE; days VARCHAR, working or calendar; language VARCHAR, a tag by RFC 5646; owner_party VARCHAR, JSON; invoice VARCHAR, JSON
SELECT job, title, owner, contract_sum, contract_date, contract_basis, owner_sees_overrun, completion_date, days, language, owner_party, invoice
FROM owner_job($upto)
WHERE job = $job
ORDER BY job
