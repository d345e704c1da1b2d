-- line_questioned: lines held because they may be lines of the book: only a person says whether they are.
CREATE MACRO line_questioned(upto) AS TABLE
SELECT line_batch, line_row, reason
FROM line_standing(upto)
WHERE outcome = 'held'
    AND reason IN ('job_differs', 'times_differ', 'same_as_sheet', 're_issue')
