-- line_standing: how each sheet line that ever waited stands now: its newest outcome.
CREATE MACRO line_standing(upto) AS TABLE
SELECT batch, row, line_batch, line_row, outcome, reason, message
FROM known_line_outcome(upto)
QUALIFY row_number() OVER (PARTITION BY line_batch, line_row ORDER BY batch DESC, row DESC) = 1
