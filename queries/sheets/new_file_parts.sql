-- new_file_parts: the parts of a file that may be known, with the sheet lines in each.
-- In:  $numbers BIGINT[]; $digests VARCHAR[]; $firsts BIGINT[]; $lines BIGINT[]
-- Out: part BIGINT; sha256 VARCHAR; first_line BIGINT; lines BIGINT
SELECT
    unnest($numbers::BIGINT[]) AS part,
    unnest($digests::VARCHAR[]) AS sha256,
    unnest($firsts::BIGINT[]) AS first_line,
    unnest($lines::BIGINT[]) AS lines
ORDER BY part
