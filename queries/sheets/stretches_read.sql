-- stretches_read: from which line on how many lines of a file were left out where it was read again.
-- In:  $lines BIGINT[]; $left_out BIGINT[]
-- Out: line BIGINT; left_out BIGINT
SELECT unnest($lines::BIGINT[]) AS line, unnest($left_out::BIGINT[]) AS left_out
ORDER BY line
