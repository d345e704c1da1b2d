-- owner_final_account: the days on which final accounts were agreed.
CREATE MACRO owner_final_account(upto) AS TABLE
SELECT job, day
FROM current_final_account(upto)
