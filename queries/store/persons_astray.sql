-- persons_astray: the facts with the handle of nobody, and the names with a handle that was given out before.
-- In:  $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT; handle VARCHAR
WITH used AS (
    SELECT 'what' AS table_name, batch, row, approved_by AS handle
    FROM stored_what($upto)
    UNION ALL
    SELECT 'entry' AS table_name, batch, row, approved_by AS handle
    FROM stored_entry($upto)
    UNION ALL
    SELECT 'baseline_change' AS table_name, batch, row, person AS handle
    FROM stored_baseline_change($upto)
    UNION ALL
    SELECT 'change' AS table_name, batch, row, requested_by AS handle
    FROM stored_change($upto)
    UNION ALL
    SELECT 'change_event' AS table_name, batch, row, person AS handle
    FROM stored_change_event($upto)
    UNION ALL
    SELECT 'daywork_sheet' AS table_name, batch, row, person AS handle
    FROM stored_daywork_sheet($upto)
    UNION ALL
    SELECT 'document' AS table_name, batch, row, prepared_by AS handle
    FROM stored_document($upto)
    UNION ALL
    SELECT 'final_account' AS table_name, batch, row, person AS handle
    FROM stored_final_account($upto)
    UNION ALL
    SELECT 'sending' AS table_name, batch, row, sent_to AS handle
    FROM stored_sending($upto)
    UNION ALL
    SELECT 'sending' AS table_name, batch, row, replied_by AS handle
    FROM stored_sending($upto)
)

SELECT u.table_name, u.batch, u.row, u.handle
FROM used AS u
ANTI JOIN stored_person_name($upto) AS p ON p.handle = u.handle AND p.batch <= u.batch
-- Of a person whose name was erased elsewhere no more is known.
WHERE u.handle <> 'erased'
UNION ALL
SELECT 'person_name' AS table_name, p.batch, p.row, p.handle
FROM stored_person_name($upto) AS p
INNER JOIN stored_person_name($upto) AS earlier
    ON earlier.handle = p.handle AND (earlier.batch, earlier.row) < (p.batch, p.row)
ORDER BY table_name, batch, row
