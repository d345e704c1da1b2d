-- rules_look_at: what of an entry any rule looks at, besides its job and booking code.
CREATE MACRO rules_look_at(upto) AS TABLE
SELECT
    coalesce(bool_or(worker_id IS NOT NULL), false) AS worker,
    coalesce(bool_or(day_from IS NOT NULL OR day_to IS NOT NULL), false) AS day,
    coalesce(bool_or(note_contains IS NOT NULL OR note_matches IS NOT NULL), false) AS note,
    coalesce(bool_or(trade IS NOT NULL), false) AS trade
FROM current_rule(upto)
